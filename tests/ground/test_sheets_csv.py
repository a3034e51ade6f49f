"""CSV files: separators, encodings, and what is no CSV at all."""

from __future__ import annotations

import pytest

from inventory.ground.sheets import text_file
from inventory.ground.sheets.files import digest_of, read_file
from inventory.ground.sheets.problems import UnreadableSheet
from tests.ground.sheet_files import csv_file

HEADINGS = ["code", "name", "country"]


def known(headings):
    return len({heading.lower() for heading in headings} & set(HEADINGS))


def read(data):
    return read_file(data, "tyre-makers", known)


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_every_separator_and_encoding_reads_alike(separator, encoding, end):
    rows = (HEADINGS, ["ÖST", "Østrey; Söhne, Ltd", "Norge"])
    grid = read(csv_file(*rows, separator=separator, encoding=encoding, end=end))
    assert grid.rows == [(1, HEADINGS), (2, rows[1])]
    assert grid.notes == ()


def test_windows_1252_is_read_and_told():
    grid = read("code,name\nCAF,Café Reifen – „Gummi“\n".encode("cp1252"))
    assert grid.body == [(2, ["CAF", "Café Reifen – „Gummi“"])]
    (note,) = grid.notes
    assert "Windows-1252" in note
    assert "not written in UTF-8" in note


def test_a_byte_of_no_encoding_is_named_by_its_place():
    with pytest.raises(UnreadableSheet, match=r"Byte 6 of this file is no letter"):
        read(b"code,\x81\n")


def test_other_scripts_come_through():
    grid = read(csv_file(HEADINGS, ["日本", "Шины", "ελαστικά"]))
    assert grid.body == [(2, ["日本", "Шины", "ελαστικά"])]


def test_the_separator_is_the_one_under_which_the_headings_are_known():
    # more semicolons than commas, but only the comma gives headings that are known
    grid = read(b"code,name,country;a;b;c;d\n")
    assert grid.headings == ["code", "name", "country;a;b;c;d"]


def test_one_heading_alone_is_a_sheet():
    assert read(b"code\nTARN\n").rows == [(1, ["code"]), (2, ["TARN"])]


def test_empty_rows_are_left_out_and_still_counted():
    grid = read(b"code,name\n\n,\nTARN,Tarnbeck\n,,\n")
    assert grid.body == [(4, ["TARN", "Tarnbeck"])]


def test_an_end_of_line_inside_a_cell_stays_there_and_the_next_row_keeps_its_number():
    grid = read(b'code,name\nA,"one\r\ntwo"\nB,three\n')
    assert grid.body == [(2, ["A", "one\ntwo"]), (3, ["B", "three"])]


def test_blanks_at_the_ends_go_and_hard_blanks_become_plain():
    grid = read("code, name \nA,\u00a0Tarn\u202fbeck \n".encode())
    assert grid.rows == [(1, ["code", "name"]), (2, ["A", "Tarn beck"])]


def test_the_apostrophe_of_an_export_is_taken_away_and_others_stay():
    grid = read(b"code,name\n'=A,'t Hoog\n'+1,'-2\n")
    assert grid.body == [(2, ["=A", "'t Hoog"]), (3, ["+1", "-2"])]


@pytest.mark.parametrize("data", [b"", b"\n\n", b"\xef\xbb\xbf", b"\xff\xfe"])
def test_an_empty_file_says_what_is_wanted(data):
    with pytest.raises(UnreadableSheet, match="empty: the first row wants the headings"):
        read(data)


@pytest.mark.parametrize("data", [b'code,name\nA,"open\n', b'code,name\nA,"a"b\n'])
def test_a_broken_quotation_names_its_row(data):
    with pytest.raises(UnreadableSheet, match=r"Row 2 cannot be read as CSV: a quotation mark"):
        read(data)


def test_a_cell_beyond_all_measure_names_its_row():
    with pytest.raises(UnreadableSheet, match=r"A cell in row 2 holds more than 131,072 signs"):
        read(b"code,name\nA," + b"x" * 140_000)


def test_a_file_with_noughts_in_it_is_no_text():
    with pytest.raises(UnreadableSheet, match="neither a workbook"):
        read(b"code,name\n\x00\x01\x02,b\n")


@pytest.mark.parametrize(
    ("start", "words"),
    [
        (b"%PDF-1.7\n1 0 obj", "This is a PDF, whatever its name says"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "old kind"),
        (b"\x89PNG\r\n\x1a\n", "picture"),
        (b"\xff\xd8\xff\xe0", "picture"),
        (b"GIF89a", "picture"),
        (b"{\\rtf1", "text document"),
        (b"<!DOCTYPE html>", "web page"),
        (b"<html>", "web page"),
        (b"<?xml version='1.0'?>", "XML"),
    ],
)
def test_other_kinds_of_file_are_called_by_their_name(start, words):
    with pytest.raises(UnreadableSheet, match=words):
        read(start + b"\n" * 50)


def test_a_file_too_large_is_not_even_opened():
    with pytest.raises(UnreadableSheet, match="larger than 20 MB"):
        read(b"a" * (20 * 1024 * 1024 + 1))


def test_too_many_rows_and_columns_are_refused(monkeypatch):
    monkeypatch.setattr(text_file, "MOST_ROWS", 3)
    assert len(read(b"code\n1\n2\n3\n").body) == 3
    with pytest.raises(UnreadableSheet, match="more than 3 rows: divide it"):
        read(b"code\n1\n2\n3\n4\n")
    with pytest.raises(UnreadableSheet, match="Row 2 has something beyond the first 100 columns"):
        read(b"code\n1" + b"," * 100 + b"x\n")


def test_empty_cells_beyond_the_last_column_do_no_harm():
    assert read(b"code\n1" + b"," * 300 + b"\n").body[0][1][0] == "1"


def test_a_digest_is_that_of_the_bytes():
    assert digest_of(b"abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
