"""Whether a file is long is told without reading it as a spreadsheet."""

from __future__ import annotations

import io
import zipfile

import pytest
from openpyxl import Workbook

from inventory.ground.jobs import length
from inventory.ground.jobs.length import is_long


def csv(rows, end="\n"):
    return end.join(["code,name", *(f"S{n},Supplier" for n in range(rows))]).encode() + end.encode()


def workbook(rows):
    book, file = Workbook(write_only=True), io.BytesIO()
    book.create_sheet("empty")
    sheet = book.create_sheet("skus")
    for number in range(rows + 1):
        sheet.append([number, "a name"])
    book.save(file)
    return file.getvalue()


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_lines_of_a_csv_file(end):
    assert not is_long(csv(1000, end))
    assert is_long(csv(1001, end))


def test_rows_of_the_longest_worksheet():
    assert not is_long(workbook(1000))
    assert is_long(workbook(1001))


@pytest.mark.parametrize("size", [7, 64, 1 << 16])
def test_a_tag_torn_in_two_is_counted_once(size, monkeypatch):
    monkeypatch.setattr(length, "_CHUNK", size)
    data = workbook(30)
    assert not is_long(data, 30)
    assert is_long(data, 29)


def test_rows_with_a_prefix_count_too_and_other_tags_do_not():
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        archive.writestr("[Content_Types].xml", "<x/>")
        rows = "<x:row r='1'/><rowBreaks/><x:row r='2'></x:row>"
        archive.writestr("xl/worksheets/sheet1.xml", f"<x:sheetData>{rows}</x:sheetData>")
    assert is_long(file.getvalue(), 0)
    assert not is_long(file.getvalue(), 1)


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04 torn", b"%PDF"])
def test_what_cannot_be_opened_is_not_long(data):
    assert not is_long(data)
