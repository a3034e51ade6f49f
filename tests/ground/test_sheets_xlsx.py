"""Workbooks: values, formulas, errors, merged cells, several worksheets, and damaged ones."""

from __future__ import annotations

import io
import zipfile
from contextlib import suppress
from datetime import date, datetime

import pytest

from inventory.ground.sheets import package, workbook
from inventory.ground.sheets.cells import FromNumber
from inventory.ground.sheets.files import read_file
from inventory.ground.sheets.problems import UnreadableSheet
from tests.ground.sheet_files import xlsx_file


def read(data, name="suppliers"):
    return read_file(data, name, len)


def test_values_become_text():
    grid = read(
        xlsx_file(
            ["whole", "part", "day", "moment", "yes", "none", "text"],
            [123, 0.1, date(2026, 3, 1), datetime(2026, 3, 1, 9, 30), True, None, " TARN "],
            [123.0, -2.50, None, None, False, None, None],
        )
    )
    assert grid.body == [
        (2, ["123", "0.1", "2026-03-01", "2026-03-01 09:30:00", "yes", "", "TARN"]),
        (3, ["123", "-2.5", "", "", "no"]),
    ]
    assert not grid.flaws


def test_a_number_cell_is_known_as_one():
    ((_, cells),) = read(xlsx_file(["date code"], [523], ["0523"])).body[:1]
    assert isinstance(cells[0], FromNumber)
    ((_, cells),) = read(xlsx_file(["date code"], ["0523"])).body
    assert not isinstance(cells[0], FromNumber)


def test_noughts_that_the_format_shows_are_kept():
    def pad(worksheet):
        worksheet["A2"].number_format = "0000"

    assert read(xlsx_file(["date code"], [523], change=pad)).body == [(2, ["0523"])]


def test_a_number_too_long_for_a_spreadsheet_is_named_by_its_cell():
    (flaw,) = read(xlsx_file(["GTIN"], [40063813339310004006])).flaws
    assert "cell A2: this number has more figures than a spreadsheet keeps" in flaw.words


def test_a_formula_is_named_by_its_cell_and_never_computed():
    grid = read(xlsx_file(["code", "price"], ["A", "=1+1"], ["B", "=SUM(A1:A9)"]))
    assert [(flaw.row, flaw.column) for flaw in grid.flaws] == [(2, 1), (3, 1)]
    assert grid.flaws[0].words.startswith("cell B2 holds a formula: copy the cell and paste it")


def test_text_that_only_looks_like_a_formula_is_text():
    def as_text(worksheet):
        worksheet["A2"].value = "=not a formula"
        worksheet["A2"].data_type = "s"

    grid = read(xlsx_file(["note"], ["x"], change=as_text))
    assert grid.body == [(2, ["=not a formula"])]
    assert not grid.flaws


@pytest.mark.parametrize("error", ["#N/A", "#REF!", "#DIV/0!"])
def test_an_error_is_named_by_its_cell(error):
    (flaw,) = read(xlsx_file(["code", "price"], ["A", error])).flaws
    assert flaw.words == f"cell B2 holds the error {error}: put in what is meant."


def test_merged_cells_are_refused_with_their_range():
    data = xlsx_file(["a", "b"], ["1", "2"], change=lambda sheet: sheet.merge_cells("A2:B4"))
    with pytest.raises(
        UnreadableSheet, match=r"merged in the worksheet “Sheet1” \(A2:B4\): unmerge"
    ):
        read(data)


def test_the_word_in_a_cell_is_not_taken_for_a_merge():
    assert read(xlsx_file(["note"], ["mergeCell"])).body == [(2, ["mergeCell"])]


def test_the_worksheet_with_the_name_of_the_sheet_is_read():
    data = xlsx_file(["x"], title="Notes", more=[("Tyre Makers", [["code"], ["TARN"]])])
    grid = read(data, "tyre-makers")
    assert grid.rows == [(1, ["code"]), (2, ["TARN"])]
    assert grid.notes == ("Only the worksheet “Tyre Makers” was read, of 2 in the workbook.",)


def test_without_such_a_name_the_first_worksheet_is_read():
    grid = read(xlsx_file(["code"], ["A"], more=[("Old", [["code"], ["B"]])]))
    assert grid.body == [(2, ["A"])]
    assert "“Sheet1”" in grid.notes[0]


def test_a_hidden_worksheet_is_not_read():
    def hide(worksheet):
        worksheet.sheet_state = "hidden"

    data = xlsx_file(["code"], ["A"], more=[("Second", [["code"], ["B"]])], change=hide)
    assert read(data).body == [(2, ["B"])]


def test_rows_keep_their_numbers_when_some_are_empty():
    grid = read(xlsx_file(["code"], [], [None], ["A"], []))
    assert grid.body == [(4, ["A"])]


def test_a_cell_far_below_does_not_make_the_sheet_too_long():
    def far(worksheet):
        worksheet["A90000"] = "B"

    grid = read(xlsx_file(["code"], ["A"], change=far))
    assert grid.body == [(2, ["A"]), (90000, ["B"])]


def test_too_many_rows_or_columns_are_refused(monkeypatch):
    monkeypatch.setattr(workbook, "MOST_ROWS", 2)
    with pytest.raises(UnreadableSheet, match="more than"):
        read(xlsx_file(["code"], ["A"], ["B"], ["C"]))
    with pytest.raises(UnreadableSheet, match="Row 1 has something beyond the first 100 columns"):
        read(xlsx_file(["x"] * 101))


def test_an_empty_workbook_says_what_is_wanted():
    with pytest.raises(UnreadableSheet, match="This spreadsheet is empty"):
        read(xlsx_file())


def test_a_workbook_that_would_unpack_too_large_is_not_unpacked(monkeypatch):
    monkeypatch.setattr(package, "MOST_BYTES_UNPACKED", 10_000)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("[Content_Types].xml", b"0" * 1_000_000)
    assert len(out.getvalue()) < 2_000
    with pytest.raises(UnreadableSheet, match="unpacks to more than"):
        read(out.getvalue())


def zip_of(**parts):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, text in parts.items():
            archive.writestr(name, text)
    return out.getvalue()


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"PK\x03\x04 and nothing behind it", "damaged"),
        (zip_of(readme="hello"), "a zip file, but no workbook"),
        (zip_of(**{"[Content_Types].xml": "<not xml"}), "damaged"),
        (xlsx_file(["code"], ["A"])[:-200], "damaged"),
    ],
)
def test_what_is_no_whole_workbook_is_refused_in_words(data, words):
    with pytest.raises(UnreadableSheet, match=words):
        read(data)


def test_every_cut_of_a_workbook_is_refused_in_words():
    whole = xlsx_file(["code", "name"], ["A", "B"])
    for length in range(10, len(whole) - 1, len(whole) // 25):
        with pytest.raises(UnreadableSheet):
            read(whole[:length])


def test_every_flipped_byte_gives_a_grid_or_words():
    whole = bytearray(xlsx_file(["code", "name"], ["A", "B"]))
    for place in range(0, len(whole), len(whole) // 60):
        broken = bytearray(whole)
        broken[place] ^= 0xFF
        with suppress(UnreadableSheet):
            assert read(bytes(broken)).rows
