"""Headings: found whatever their case, blanks and order; else named, with the nearest."""

from __future__ import annotations

import pytest

from inventory.ground.sheets import headings, readers
from inventory.ground.sheets.cells import Grid
from inventory.ground.sheets.columns import Column
from inventory.ground.sheets.rows import Report

COLUMNS = (
    Column("code", "code", required=True),
    Column("works from °C", "from"),
    Column("rim width in", "width", readers.number),
    Column("e-mail", "email", required=True),
)


def matched(*rows):
    report = Report()
    grid = Grid([(number, list(cells)) for number, cells in enumerate(rows, start=1)])
    found = headings.matched(COLUMNS, grid, report)
    told = [str(problem) for problem in report.problems]
    return {place: column.name for place, column in found.items()}, told


@pytest.mark.parametrize(
    ("typed", "same"),
    [
        ("Code", "code"),
        ("  CODE ", "code"),
        ("E-Mail", "e mail"),
        ("works  from °C", "works from °c"),
        ("top_speed km/h", "top speed km/h"),
        ("code:", "code"),
    ],
)
def test_how_headings_are_compared(typed, same):
    assert headings.plain(typed) == same


def test_order_and_case_do_not_matter():
    found, told = matched(["E-MAIL", "Rim Width  in", "CODE"], ["a@b.example", "5", "A"])
    assert found == {0: "email", 1: "width", 2: "code"}
    assert not told


def test_a_column_that_is_not_needed_may_be_missing():
    assert matched(["code", "e-mail"], ["A", "b"]) == ({0: "code", 1: "email"}, [])


def test_a_needed_column_that_is_missing_is_named():
    _, told = matched(["code"], ["A"])
    assert told == ["row 1, e-mail: this column is missing, and is needed."]


def test_an_unknown_heading_is_named_with_the_nearest():
    _, told = matched(["code", "e-mail", "rim with in"], ["A", "b", "5"])
    assert told == [
        "row 1: there is no column “rim with in” in this sheet. Did you mean “rim width in”?"
    ]


def test_a_heading_like_no_other_gets_the_whole_list():
    _, told = matched(["code", "e-mail", "Farbe"], ["A", "b", "x"])
    assert told == [
        "row 1: there is no column “Farbe” in this sheet. The headings known here are: code, works "
        "from °C, rim width in, e-mail."
    ]


def test_a_heading_of_ten_thousand_signs_is_shortened():
    _, (told,) = matched(["code", "e-mail", "x" * 10_000], ["A", "b", ""])
    assert len(told) < 250


def test_a_heading_that_stands_there_twice():
    _, told = matched(["code", "e-mail", "Code"], ["A", "b", "C"])
    assert told == ["row 1, code: this heading stands there twice: take one out."]


def test_cells_under_no_heading_are_named_and_empty_ones_do_no_harm():
    assert matched(["code", "", "e-mail"], ["A", "", "b"])[1] == []
    assert matched(["code", "", "e-mail"], ["A", "", "b"], ["A", "x", "b"])[1] == [
        "row 3, column B: this column has no heading."
    ]
    assert matched(["code", "e-mail"], ["A", "b", "", "x"], ["A", "b", ""])[1] == [
        "row 2, column D: this cell stands under no heading."
    ]


def test_how_many_are_known():
    assert headings.known(COLUMNS, ["CODE", "E mail", "other"]) == 2
    assert headings.known(COLUMNS, ["code;e-mail"]) == 0
