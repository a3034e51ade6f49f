"""The files that take longest begin first, so that no worker is left alone with one at the end.

Two that mostly wait (for processes that are killed, servers that start, leases that end) should
not wait at the same time: they take turns with those that keep a processor busy.
"""

from __future__ import annotations

from itertools import chain, zip_longest
from pathlib import Path

import pytest

from tests.support.source import ROOT

WAITING = (
    "tests/worker",
    "tests/stockist/test_database_server.py",
    "tests/inventory/selling/test_killed.py",
    "tests/stockist/jobs",
    "tests/inventory/sending/test_killed.py",
    "tests/stockist/test_demo_command.py",
    "tests/inventory/selling/test_at_once.py",
    "tests/ground/test_retry.py",
)
# Real browsers, machines of states, many rows; the longest first.
BUSY = (
    "tests/journeys",
    "tests/inventory/admin/test_every_table.py",
    "tests/stockist/test_api_schema.py",
    "tests/inventory/api/test_every_list.py",
    "tests/inventory/sending",
    "tests/inventory/goods_in",
    "tests/inventory/selling",
    "tests/load",
    "tests/fitments/imports",
    "tests/inventory/counting",
    "tests/inventory/imports",
    "tests/inventory/pages",
)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Stable: within a file, and among all others, the order stays as it was."""
    files = list(dict.fromkeys(item.path for item in items))
    waiting = _those(files, WAITING)
    busy = [file for file in _those(files, BUSY) if file not in waiting]
    first = [file for file in chain(*zip_longest(busy, waiting)) if file]
    turns = {file: turn for turn, file in enumerate(first)}
    items.sort(key=lambda item: turns.get(item.path, len(turns)))


def _those(files: list[Path], long: tuple[str, ...]) -> list[Path]:
    """The files that are told, or lie in a folder that is, in the order of telling."""
    names = {file: file.relative_to(ROOT).as_posix() for file in files}
    return [file for begin in long for file in files if names[file].startswith(begin)]
