"""The files that take longest begin first, so that no worker is left alone with one at the end."""

from __future__ import annotations

import pytest

from tests.support.source import ROOT

# Real processes and real browsers, machines of states, many rows; the longest first.
LONG = (
    "tests/journeys",
    "tests/worker",
    "tests/stockist/test_database_server.py",
    "tests/stockist/test_api_schema.py",
    "tests/inventory/sending",
    "tests/inventory/goods_in",
    "tests/inventory/selling",
    "tests/load",
    "tests/fitments/imports",
    "tests/stockist/jobs",
    "tests/stockist/test_demo_command.py",
    "tests/inventory/counting",
    "tests/inventory/imports",
    "tests/inventory/pages",
)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Stable: within a file, and among all others, the order stays as it was."""
    items.sort(key=_turn)


def _turn(item: pytest.Item) -> int:
    path = item.path.relative_to(ROOT).as_posix()
    return next((turn for turn, long in enumerate(LONG) if path.startswith(long)), len(LONG))
