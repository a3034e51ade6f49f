"""A file read into rows, cell by cell."""

from __future__ import annotations

from datetime import date

import pytest

from inventory.ground.sheets import readers
from inventory.ground.sheets.columns import Column, to
from inventory.ground.sheets.problems import UnreadableSheet
from inventory.ground.sheets.reading import read_rows
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.rows import Report
from inventory.ground.sheets.shifting import NO_SHIFT, Shift, day_by_weeks, year_by_years
from inventory.models.maker import Pattern, TyreMaker
from tests.factories.catalogue import PatternFactory
from tests.ground.sheet_files import csv_file, xlsx_file

COLUMNS = (
    Column("code", "code", readers.code, required=True),
    Column("size", "size_text"),
    Column("since", "since", readers.day, absent=None, shift=day_by_weeks),
    Column("season", "season", readers.whole, absent=None, shift=year_by_years),
    Column("tags", "tags", readers.many(readers.code), absent=()),
)


def read(*rows, shift=NO_SHIFT, columns=COLUMNS, data=None):
    report = Report()
    found, notes = read_rows(data or csv_file(*rows), "x", columns, shift, report)
    return {row.number: row.values for row in found}, [str(one) for one in report.problems], notes


def test_cells_become_values():
    rows, told, notes = read(
        ["code", "since", "season", "tags"], ["A", "2026-03-01", "2026", "x; y"], ["B", "", "", ""]
    )
    assert rows == {
        2: {"code": "A", "since": date(2026, 3, 1), "season": 2026, "tags": ("x", "y")},
        3: {"code": "B", "since": None, "season": None, "tags": ()},
    }
    assert (told, notes) == ([], ())


def test_a_column_that_is_not_there_gives_no_value():
    rows, _, _ = read(["code"], ["A"])
    assert rows == {2: {"code": "A"}}


def test_short_rows_are_filled_up():
    rows, told, _ = read(["code", "size", "since"], ["A"], ["B", "165 R 15"])
    assert (rows[2]["size_text"], rows[3]["since"]) == ("", None)
    assert not told


def test_the_calendar_moves_what_moves():
    rows, _, _ = read(
        ["code", "since", "season", "size"], ["A", "2026-03-01", "2026", "x"], ["B", "", "", ""],
        shift=Shift(weeks=2, years=1),
    )  # fmt: skip
    assert rows[2] == {"code": "A", "since": date(2026, 3, 15), "season": 2027, "size_text": "x"}
    assert rows[3]["since"] is None


def test_every_cell_that_cannot_be_read_is_told_and_the_row_goes_on():
    rows, told, _ = read(["code", "since", "season"], ["", "soon", "x"], ["B", "2026-03-01", "1"])
    assert told == [
        "row 2, code: this cell is empty, and is needed.",
        "row 2, since: “soon” is not a day written as year-month-day, such as 2026-03-01 for the "
        "first of March.",
        "row 2, season: “x” is not a whole number, written without any mark or unit.",
    ]
    assert rows[3]["season"] == 1


def test_a_flawed_cell_is_told_once():
    _, told, _ = read(data=xlsx_file(["code", "season"], ["A", "=1+1"], ["B", "#REF!"]))
    assert [words.split(":")[0] for words in told] == ["row 2, season", "row 3, season"]


def test_a_flaw_under_no_heading_is_told_by_its_cell():
    _, told, _ = read(data=xlsx_file(["code", None], ["A", "=1+1"]))
    assert "row 2: cell B2 holds a formula" in told[0] or "cell B2 holds a formula" in told[1]


def test_nothing_is_read_under_wrong_headings():
    rows, told, _ = read(["code", "colour"], ["", "red"])
    assert rows == {}
    assert len(told) == 1


def test_an_empty_file_has_no_rows_to_tell_of():
    with pytest.raises(UnreadableSheet):
        read(data=b"\n")


@pytest.mark.django_db
@pytest.mark.parametrize("turned", [False, True])
def test_what_others_stand_within_is_found_first_wherever_it_is(turned):
    pattern = PatternFactory(name="Cairnway", maker__code="TARN")
    columns = (
        to("maker", "maker", Reference(TyreMaker, "tyre maker"), required=True),
        to("pattern", "pattern", Reference(Pattern, "pattern", "name", ("maker", "maker"))),
    )
    rows = [["maker", "pattern"], ["TARN", "Cairnway"], ["TARN", "Fell"], ["NONE", "Cairnway"]]
    found, told, _ = read(*(row[::-1] if turned else row for row in rows), columns=columns)
    assert found[2] == {"maker": pattern.maker, "pattern": pattern}
    assert sorted(told) == [
        f"row 3, pattern: there is no pattern “Fell” of {pattern.maker}.",
        "row 4, maker: there is no tyre maker “NONE”.",
    ]


def test_sound_rows_are_those_of_which_nothing_was_told():
    report = Report()
    rows, _ = read_rows(csv_file(["code"], ["A"], ["B"]), "x", COLUMNS, NO_SHIFT, report)
    report(3, "code", "x.")
    assert [row.number for row in report.sound(rows)] == [2]
