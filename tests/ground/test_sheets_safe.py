"""No text on its way out may start a formula in a spreadsheet."""

from __future__ import annotations

import csv
import io
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.ground.sheets.cells import tidy
from inventory.ground.sheets.safe import csv_of, safe_cell


@pytest.mark.parametrize(
    "text", ["=1+1", "+44 1632", "-5", "@sum", "＝1+1", "＋1", "－1", "＠x", "\t=1", " =1", "\r=1"]
)
def test_what_would_start_a_formula_gets_an_apostrophe(text):
    assert safe_cell(text) == f"'{text}"


@pytest.mark.parametrize("text", ["TARN", "185/70 R 15", "a=b", "'84", "", "5-6", " ", "é"])
def test_other_text_stays_as_it_is(text):
    assert safe_cell(text) == text


@pytest.mark.parametrize("value", [5, -5, Decimal("-1.5"), date(2026, 1, 1), None, True])
def test_what_is_no_text_stays_what_it_is(value):
    assert safe_cell(value) is value


def test_what_a_workbook_cannot_hold_is_left_out():
    assert safe_cell("a\x07b") == "ab"


@given(st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Zs"]), max_size=20))
def test_reading_takes_the_apostrophe_away_again(text):
    assert tidy(safe_cell(text)) == tidy(text)


def test_a_csv_file_is_known_as_utf8_and_safe():
    data = csv_of([["code", "note"], ["ÖST", "=cmd|' /C calc'!A0"], ["B", 'a "b", c']])
    assert data.startswith(b"\xef\xbb\xbf")
    rows = list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))
    assert rows == [["code", "note"], ["ÖST", "'=cmd|' /C calc'!A0"], ["B", 'a "b", c']]
