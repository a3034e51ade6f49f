"""The demo's own sheets saved as workbooks, as a person would, come to just the same."""

from __future__ import annotations

import csv
import io
import tomllib
from datetime import timedelta
from pathlib import Path

import pytest
from django.conf import settings

from inventory.ground.sheets.loading import check, load
from inventory.ground.sheets.registry import every_sheet, sheet_named
from inventory.ground.sheets.shifting import Shift
from tests.factories.people import UserFactory
from tests.factories.when import AT, TODAY
from tests.ground.sheet_files import csv_file, xlsx_file

FOLDER = Path(settings.BASE_DIR) / "fixtures" / "demo"
PLAN = tomllib.loads((FOLDER / "demo.toml").read_text(encoding="utf-8"))


def rows_of(entry):
    text = (FOLDER / entry["file"]).read_text(encoding="utf-8-sig")
    return list(csv.reader(io.StringIO(text, newline="")))


def test_the_demo_has_every_sheet_in_the_order_in_which_they_build_on_one_another():
    names = [entry["sheet"] for entry in PLAN["sheets"]]
    assert sorted(names) == sorted(every_sheet())


@pytest.mark.django_db
def test_every_sheet_as_a_workbook_then_as_text_with_semicolons():
    by = UserFactory(username="owner")
    for name in ("counter", "warehouse", "buyer"):
        UserFactory(username=name)
    for entry in PLAN["sheets"]:
        sheet, rows = sheet_named(entry["sheet"]), rows_of(entry)
        done = load(sheet, xlsx_file(*rows), by=by, at=AT)
        assert (done.changed, done.same) == (0, 0), str(done)
        assert done.new >= len(rows) - 1
        if not sheet.once:
            again = check(sheet, csv_file(*rows, separator=";"), on=TODAY)
            assert (again.new, again.changed, again.same) == (0, 0, done.new), str(again)


@pytest.mark.django_db
@pytest.mark.parametrize("weeks", [1, 9, 61])
def test_the_whole_demo_can_be_moved_to_a_later_day(weeks):
    by = UserFactory(username="owner")
    for name in ("counter", "warehouse", "buyer"):
        UserFactory(username=name)
    at = AT + timedelta(weeks=weeks)
    shift = Shift.between(PLAN["as_of"], at.date())
    assert shift.weeks == weeks
    for entry in PLAN["sheets"]:
        data = (FOLDER / entry["file"]).read_bytes()
        done = load(sheet_named(entry["sheet"]), data, by=by, at=at, shift=shift)
        assert done.new
