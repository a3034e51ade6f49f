"""Workbooks made to harm: bombs, entities, passwords, paths, parts that are missing."""

from __future__ import annotations

import io
import zipfile

import pytest

from inventory.ground.sheets import package
from inventory.ground.sheets.files import read_file
from inventory.ground.sheets.package import merged_ranges, opened
from inventory.ground.sheets.problems import UnreadableSheet
from tests.ground.sheet_files import xlsx_file

SHEET = "xl/worksheets/sheet1.xml"


def rebuilt(change, *rows):
    """A workbook whose parts go through ``change(name, bytes)``; None leaves a part out."""
    out = io.BytesIO()
    whole = zipfile.ZipFile(io.BytesIO(xlsx_file(*(rows or (["code"], ["A"])))))
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name in whole.namelist():
            part = change(name, whole.read(name))
            if part is not None:
                archive.writestr(name, part)
    return out.getvalue()


def only(wanted, new):
    return lambda name, part: new(part) if name == wanted else part


def read(data):
    return read_file(data, "suppliers", len)


def test_a_workbook_put_together_again_reads_as_before():
    assert read(rebuilt(lambda name, part: part)).rows == [(1, ["code"]), (2, ["A"])]


@pytest.mark.parametrize(
    "missing", ["xl/workbook.xml", SHEET, "[Content_Types].xml", "xl/_rels/workbook.xml.rels"]
)
def test_a_part_that_is_missing(missing):
    data = rebuilt(lambda name, part: None if name == missing else part)
    with pytest.raises(UnreadableSheet, match=r"damaged|no workbook|no worksheet"):
        read(data)


def test_entities_that_grow_without_end_are_stopped():
    """The growth of entities is bounded by the parser itself (expat 2.4.1 and later)."""
    lines = ['<!ENTITY a "aaaaaaaaaa">']
    for before, name in zip("abcdefgh", "bcdefghi", strict=True):
        lines.append(f'<!ENTITY {name} "' + f"&{before};" * 10 + '">')

    def bomb(part):
        text = part.decode()
        head, _, rest = text.partition("<worksheet")
        rest = rest.replace("<t>A</t>", "<t>&i;</t>")
        return f"{head}<!DOCTYPE x [{''.join(lines)}]><worksheet{rest}".encode()

    with pytest.raises(UnreadableSheet, match="damaged"):
        read(rebuilt(only(SHEET, bomb)))


def test_an_entity_from_outside_is_not_fetched(tmp_path):
    secret = tmp_path / "secret"
    secret.write_text("four plain words")

    def reach_out(part):
        text = part.decode().replace("<t>A</t>", "<t>&x;</t>")
        head, _, rest = text.partition("<worksheet")
        entity = f'<!DOCTYPE x [<!ENTITY x SYSTEM "file://{secret}">]>'
        return f"{head}{entity}<worksheet{rest}".encode()

    with pytest.raises(UnreadableSheet, match="damaged"):
        read(rebuilt(only(SHEET, reach_out)))


def test_nothing_in_the_zip_file_is_ever_written_to_disk(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    out = io.BytesIO(rebuilt(lambda name, part: part))
    with zipfile.ZipFile(out, "a") as archive:
        archive.writestr("../../evil.txt", "x")
        archive.writestr("/etc/evil.txt", "x")
    assert read(out.getvalue()).body == [(2, ["A"])]
    assert list(tmp_path.rglob("*")) == []


def test_thousands_of_parts_are_not_even_counted_through(monkeypatch):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for number in range(10_001):
            archive.writestr(f"p{number}", "")
    with pytest.raises(UnreadableSheet, match="unpacks to more than"):
        opened(out.getvalue())


def test_a_size_that_the_zip_file_lies_about_is_found_out(monkeypatch):
    """The parts say that they are small; zipfile reads no more than they say, and sees the lie."""
    whole = rebuilt(only(SHEET, lambda part: part + b" " * 300_000))
    place = whole.index(b"PK\x01\x02")  # the list of parts at the end
    broken = bytearray(whole)
    at = broken.index(SHEET.encode(), place) - 46 + 24  # where its unpacked size is told
    broken[at : at + 4] = (500).to_bytes(4, "little")
    with pytest.raises(UnreadableSheet, match="damaged"):
        read(bytes(broken))


def test_a_password_is_named():
    data = bytearray(rebuilt(lambda name, part: part))
    for mark, offset in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        start = 0
        while (start := data.find(mark, start)) >= 0:
            data[start + offset] |= 1
            start += 4
    with pytest.raises(UnreadableSheet, match="This workbook has a password"):
        read(bytes(data))


def merged_in(xml):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr(SHEET, xml)
    with zipfile.ZipFile(out) as archive:
        return merged_ranges(archive, SHEET)


class TestMerged:
    def test_the_ranges_are_listed(self):
        cells = "".join(f'<mergeCell ref="A{n}:B{n}"/>' for n in range(1, 4))
        assert merged_in(f"<worksheet><mergeCells>{cells}</mergeCells></worksheet>") == [
            "A1:B1", "A2:B2", "A3:B3",
        ]  # fmt: skip

    def test_whatever_the_namespace_is_called(self):
        xml = '<x:worksheet xmlns:x="urn:y"><x:mergeCell ref="A1:A2"/></x:worksheet>'
        assert merged_in(xml) == ["A1:A2"]

    def test_ten_at_the_most(self):
        cells = "".join(f'<mergeCell ref="A{n}:B{n}"/>' for n in range(1, 99))
        assert len(merged_in(f"<worksheet>{cells}</worksheet>")) == 10

    def test_none(self):
        assert merged_in("<worksheet><sheetData/></worksheet>") == []

    def test_the_word_may_lie_across_two_reads(self, monkeypatch):
        xml = "<worksheet>" + " " * 100 + '<mergeCell ref="A1:A2"/></worksheet>'
        for size in range(5, 120, 7):
            monkeypatch.setattr(package, "_CHUNK", size)
            assert merged_in(xml) == ["A1:A2"]

    def test_what_is_no_xml_is_damaged(self):
        with pytest.raises(UnreadableSheet, match="damaged"):
            merged_in("<worksheet><mergeCell")
