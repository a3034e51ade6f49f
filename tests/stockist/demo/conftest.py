"""The demo as it stands in fixtures/demo: its rows as text, and all of it loaded, once."""

from __future__ import annotations

import csv
import tomllib
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.db import transaction

from inventory.ground.sheets.loading import load
from inventory.ground.sheets.registry import sheet_named

FOLDER = Path(__file__).parents[3] / "fixtures" / "demo"


@pytest.fixture(scope="session")
def plan() -> dict[str, Any]:
    """demo.toml: the day on which the demo is told, and its sheets in the order of loading."""
    return tomllib.loads((FOLDER / "demo.toml").read_text("utf-8"))


@pytest.fixture(scope="session")
def as_of(plan) -> date:
    """The day on which the demo is told."""
    return plan["as_of"]


@pytest.fixture(scope="session")
def folder() -> Path:
    """Where the sheets are."""
    return FOLDER


@pytest.fixture(scope="session")
def rows():
    """A function from the name of a sheet to its rows, each a dictionary of text."""

    def read(sheet: str) -> list[dict[str, str]]:
        with (FOLDER / f"{sheet}.csv").open(encoding="utf-8", newline="") as file:
            return list(csv.DictReader(file))

    return read


@pytest.fixture(scope="package")
def shop(django_db_setup, django_db_blocker, plan, as_of):
    """What each load said, by the name of the sheet. Every sheet is loaded through its importer,
    once for all tests of this folder, in a transaction that is rolled back after the last."""
    at = datetime(as_of.year, as_of.month, as_of.day, 8, tzinfo=UTC)
    with django_db_blocker.unblock(), transaction.atomic():
        people = {name: User.objects.create_user(name) for name in ("owner", plan["loaded_by"])}
        yield {
            named["sheet"]: load(
                sheet_named(named["sheet"]),
                (FOLDER / named["file"]).read_bytes(),
                by=people[plan["loaded_by"]],
                at=at,
                file_name=named["file"],
            )
            for named in plan["sheets"]
        }
        transaction.set_rollback(True)
