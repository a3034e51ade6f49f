"""Templates: every heading, one example row, and nothing that could start a formula."""

from __future__ import annotations

import io

import pytest
from openpyxl import load_workbook

from inventory.ground.sheets.columns import Column
from inventory.ground.sheets.files import read_file
from inventory.ground.sheets.sheet import Sheet
from inventory.ground.sheets.template import template
from inventory.imports.skus import Skus
from inventory.imports.suppliers import Suppliers


class Odd(Sheet):
    """A sheet whose examples would be formulas."""

    name = "odd"
    title = "Odd"
    key = ("code",)
    columns = (
        Column("=code", "code", example="=1+1", required=True),
        Column("b", "b", example="0523"),
    )

    def plan(self, rows, report, *, on, lock):
        raise AssertionError("a template plans nothing")


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_a_template_reads_back_as_its_headings_and_example(kind):
    sheet = Suppliers()
    grid = read_file(template(sheet, kind), sheet.name, len)
    assert grid.headings == [column.heading for column in sheet.columns]
    ((number, cells),) = grid.body
    assert number == 2
    examples = [column.example for column in sheet.columns]
    assert cells + [""] * (len(examples) - len(cells)) == examples


def test_a_workbook_template_says_what_is_wanted_in_each_column():
    book = load_workbook(io.BytesIO(template(Skus())))
    assert book.sheetnames == ["skus", "what is wanted"]
    rows = list(book["what is wanted"].values)
    assert rows[0] == ("column", "needed", "what to write", "example")
    assert len(rows) == 1 + len(Skus.columns)
    assert ("code", "yes", "text", "TARN-CW-1857015") in rows
    assert all(row[2] for row in rows)


def test_cells_of_a_workbook_template_are_text_so_that_noughts_stay():
    sheet = load_workbook(io.BytesIO(template(Odd())))["odd"]
    assert sheet["B2"].value == "0523"
    assert sheet["B2"].number_format == "@"
    assert sheet.column_dimensions["B"].number_format == "@"


def test_no_example_is_a_formula():
    sheet = load_workbook(io.BytesIO(template(Odd())))["odd"]
    assert (sheet["A1"].value, sheet["A2"].value) == ("'=code", "'=1+1")
    assert sheet["A2"].data_type == "s"
    assert template(Odd(), "csv").decode("utf-8-sig").splitlines()[1] == "'=1+1,0523"


def test_another_kind_of_file_is_no_template():
    with pytest.raises(ValueError, match="'ods' is no kind of template: csv or xlsx"):
        template(Suppliers(), "ods")
