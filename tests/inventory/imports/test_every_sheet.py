"""Every kind of sheet meets every kind of bad file: a sentence, and nothing of it loaded."""

from __future__ import annotations

import io

import pytest

from inventory.ground.models import SheetLoad
from inventory.ground.sheets import readers
from inventory.ground.sheets.loading import check, load
from inventory.ground.sheets.problems import SheetRefused, UnreadableSheet
from inventory.ground.sheets.registry import every_sheet
from inventory.ground.sheets.template import template
from tests.factories.people import UserFactory
from tests.factories.when import AT, TODAY
from tests.ground.sheet_files import csv_file, xlsx_file

pytestmark = pytest.mark.django_db


def sheets_with(wanted):
    """Every sheet with a column of which this is true."""
    return pytest.mark.parametrize(
        "sheet",
        [
            pytest.param(sheet, id=sheet.name)
            for sheet in every_sheet().values()
            if any(wanted(column) for column in sheet.columns)
        ],
    )


every = sheets_with(lambda column: True)


def refused(sheet, data):
    """What people read; loading must leave no trace."""
    before = sheet.model.objects.count()
    with pytest.raises((SheetRefused, UnreadableSheet)) as refusal:
        load(sheet, data, by=UserFactory(), at=AT)
    assert sheet.model.objects.count() == before
    assert not SheetLoad.objects.exists()
    told = [str(refusal.value), *map(str, getattr(refusal.value, "shown", ()))]
    assert all(words.endswith((".", "?")) for words in told), told
    assert all(len(words) < 1500 for words in told)
    return told


def example(sheet, **cells):
    """The headings of a sheet and its example row, some cells of it replaced."""
    headings = [column.heading for column in sheet.columns]
    return headings, [cells.get(column.heading, column.example) for column in sheet.columns]


def texts(sheet):
    """Columns of plain text, in which anything might be typed."""
    return [column for column in sheet.columns if column.read in (readers.text, readers.code)]


@every
@pytest.mark.parametrize("data", [b"", b"\n\n", b"\xef\xbb\xbf"], ids=["empty", "lines", "mark"])
def test_an_empty_file(sheet, data):
    assert refused(sheet, data)[0].startswith("This spreadsheet is empty")


@every
def test_only_headings(sheet):
    headings, _ = example(sheet)
    assert refused(sheet, csv_file(headings)) == [
        "This spreadsheet has its headings, but no row under them."
    ]


@every
def test_a_wrong_heading(sheet):
    headings, row = example(sheet)
    told = refused(sheet, csv_file([headings[0] + "x", *headings[1:]], row))
    assert f"there is no column “{headings[0]}x” in this sheet." in told[1]
    assert f"Did you mean “{headings[0]}”?" in told[1]


@every
def test_the_file_of_another_sheet(sheet):
    told = refused(sheet, csv_file(["Datum", "Menge", "Farbe"], ["1.3.2026", "4", "rot"]))
    assert any("The headings known here are" in words for words in told)


@every
def test_a_heading_missing(sheet):
    needed = next(column.heading for column in sheet.columns if column.required)
    headings = [column.heading for column in sheet.columns if column.heading != needed]
    told = refused(sheet, csv_file(headings, ["x"] * len(headings)))
    assert f"row 1, {needed}: this column is missing, and is needed." in told


@every
def test_a_formula(sheet):
    headings, row = example(sheet)
    told = refused(sheet, xlsx_file(headings, ["=1+1", *row[1:]]))
    start = f"row 2, {headings[0]}: cell A2 holds a formula"
    assert sum(words.startswith(start) for words in told) == 1


@every
def test_an_error_cell(sheet):
    headings, row = example(sheet)
    told = refused(sheet, xlsx_file(headings, ["#N/A", *row[1:]]))
    assert sum("cell A2 holds the error #N/A" in words for words in told) == 1


@every
def test_merged_cells(sheet):
    data = xlsx_file(*example(sheet), change=lambda worksheet: worksheet.merge_cells("A2:A9"))
    assert "(A2:A9): unmerge them" in refused(sheet, data)[0]


@every
def test_a_pdf_with_another_name(sheet):
    assert refused(sheet, b"%PDF-1.4 renamed to .xlsx")[0].startswith("This is a PDF")


@every
def test_ten_thousand_signs_in_every_text_cell(sheet):
    cells = {column.heading: "x" * 10_000 for column in texts(sheet)}
    told = refused(sheet, csv_file(*example(sheet, **cells)))
    assert len(told) > 1


@every
def test_control_characters_in_every_text_cell(sheet):
    cells = {column.heading: "a\x07b" for column in texts(sheet)}
    told = refused(sheet, csv_file(*example(sheet, **cells)))
    assert sum("control character (U+0007)" in words for words in told) == len(cells) > 0


@sheets_with(lambda column: column.refers or column.read not in (readers.text, readers.code))
def test_nonsense_in_every_cell(sheet):
    headings, row = example(sheet)
    told = refused(sheet, csv_file(headings, ["?!"] * len(row)))
    assert len(told) > 1


@every
def test_other_scripts_in_every_cell(sheet):
    headings, row = example(sheet)
    data = csv_file(headings, ["日本 Шины"] * len(row))
    try:
        assert check(sheet, data, on=TODAY).rows == 1  # a sheet of nothing but names takes them
    except SheetRefused as refusal:
        assert all(str(problem).endswith((".", "?")) for problem in refusal.shown)  # noqa: PT017


@sheets_with(lambda column: column.read is readers.day)
def test_a_day_in_another_order(sheet):
    days = [column for column in sheet.columns if column.read is readers.day]
    cells = {column.heading: "03/04/2026" for column in days}
    told = refused(sheet, csv_file(*example(sheet, **cells)))
    assert sum("“03/04/2026” is not a day written as year-month-day" in t for t in told) == len(
        days
    )


@every
def test_needed_cells_left_empty(sheet):
    needed = [column.heading for column in sheet.columns if column.required]
    headings = example(sheet)[0]
    told = refused(sheet, csv_file(headings, *(example(sheet, **{one: ""})[1] for one in needed)))
    for row, heading in enumerate(needed, start=2):
        assert f"row {row}, {heading}: this cell is empty, and is needed." in told


@every
def test_every_way_of_writing_csv_comes_to_the_same(sheet):
    rows = example(sheet)
    told = outcome(sheet, xlsx_file(*rows))
    for separator in (",", ";", "\t"):
        for encoding in ("utf-8", "utf-8-sig", "cp1252", "utf-16"):
            written = csv_file(*rows, separator=separator, encoding=encoding)
            assert outcome(sheet, written) == told, (separator, encoding)


@every
@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_its_own_template_reads_without_a_problem_of_its_form(sheet, kind):
    told = outcome(sheet, template(sheet, kind))
    if isinstance(told, list):  # what it names is not there, in an empty house
        assert all("there is no " in words or "has no wheel" in words for words in told), told


def outcome(sheet, data):
    try:
        done = check(sheet, io.BytesIO(data).getvalue(), on=TODAY)
    except SheetRefused as refusal:
        return [str(problem) for problem in refusal.problems]
    return done.new, done.changed, done.same
