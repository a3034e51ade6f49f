"""Cells as text."""

from __future__ import annotations

from datetime import date, datetime, time

import pytest

from inventory.ground.sheets.cells import FromNumber, Grid, filled, letters, plain, quoted, tidy


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (None, ""),
        (True, "yes"),
        (False, "no"),
        (123, "123"),
        (123.0, "123"),
        (-4, "-4"),
        (0.1, "0.1"),
        (1 / 3, "0.333333333333333"),
        (4.35, "4.35"),
        (0, "0"),
        (date(2026, 3, 1), "2026-03-01"),
        (datetime(2026, 3, 1), "2026-03-01"),
        (datetime(2026, 3, 1, 7, 5), "2026-03-01 07:05:00"),
        (time(7, 5), "07:05:00"),
        ("  TARN ", "TARN"),
    ],
)
def test_values_as_text(value, text):
    assert plain(value) == text


def test_only_numbers_are_from_numbers():
    assert isinstance(plain(5), FromNumber)
    assert not isinstance(plain("5"), FromNumber)
    assert not isinstance(plain(True), FromNumber)
    assert not isinstance(plain(date(2026, 1, 1)), FromNumber)


@pytest.mark.parametrize(
    ("value", "number_format", "text"),
    [
        (523, "0000", "0523"),
        (523, "General", "523"),
        (523, "0", "523"),
        (12523, "0000", "12523"),
        (523.0, "0000", "0523"),
        (0.5, "0000", "0.5"),
    ],
)
def test_noughts_of_the_format(value, number_format, text):
    assert plain(value, number_format) == text


def test_a_number_with_too_many_figures_is_refused():
    assert plain(999_999_999_999_999) == "999999999999999"
    with pytest.raises(ValueError, match="more figures than a spreadsheet keeps"):
        plain(1_000_000_000_000_000)
    with pytest.raises(ValueError, match="format the cell as text"):
        plain(-1e20)


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        (" a\u00a0b\u202fc ", "a b c"),
        ("one\r\ntwo", "one\ntwo"),
        ("'=1+1", "=1+1"),
        ("'+44", "+44"),
        ("'-5", "-5"),
        ("'@x", "@x"),
        ("'＝1", "＝1"),
        ("'84", "'84"),
        ("'t Hoog", "'t Hoog"),
        ("'", "'"),
        ("", ""),
    ],
)
def test_text_made_tidy(typed, kept):
    assert tidy(typed) == kept


@pytest.mark.parametrize(
    ("number", "name"), [(1, "A"), (26, "Z"), (27, "AA"), (52, "AZ"), (703, "AAA"), (16384, "XFD")]
)
def test_columns_are_called_as_spreadsheets_call_them(number, name):
    assert letters(number) == name


def test_what_is_quoted_is_short_and_can_be_seen():
    assert quoted("TARN") == "“TARN”"
    assert quoted("x" * 10_000) == "“" + "x" * 39 + "…”"
    assert quoted("a\u200bb\x07") == "“a\\x200bb\\x07”"


def test_rows_without_anything_are_left_out():
    rows = [(1, ["a"]), (2, []), (3, ["", ""]), (4, ["", "b"])]
    assert list(filled(iter(rows))) == [(1, ["a"]), (4, ["", "b"])]


def test_a_grid_has_headings_and_a_body():
    grid = Grid([(2, ["code"]), (3, ["A"])])
    assert grid.headings == ["code"]
    assert grid.body == [(3, ["A"])]
    assert Grid([]).headings == []
