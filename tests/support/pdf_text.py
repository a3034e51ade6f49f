"""The words of a PDF that this house drew: read back through its own maps from codes to letters."""

from __future__ import annotations

import base64
import re
import zlib

_OBJECT = re.compile(rb"(\d+) 0 obj(.*?)endobj", re.DOTALL)
_FONT = re.compile(rb"/(F\d+(?:\+\d+)?) (\d+) 0 R")
_MAPPED = re.compile(rb"<([0-9A-F]{2})> <([0-9A-F]{4})>")
_SHOWN = re.compile(rb"/(F\d+(?:\+\d+)?) [\d.]+ Tf|\(((?:\\.|[^\\()])*)\) Tj", re.DOTALL)
_ESCAPED = re.compile(rb"\\(\d{1,3}|.)", re.DOTALL)
_PLAIN = {b"n": b"\n", b"r": b"\r", b"t": b"\t", b"b": b"\b", b"f": b"\f"}


def pages_of(pdf: bytes) -> list[str]:
    """The words of each page, as they were drawn, one blank between two runs of them."""
    objects = {int(number): body for number, body in _OBJECT.findall(pdf)}
    letters = {name: _letters(objects, int(key)) for name, key in _FONT.findall(pdf)}
    pages = [body for body in objects.values() if re.search(rb"/Type /Page\s", body)]
    return [_words(_stream(objects[_reference(page, b"Contents")]), letters) for page in pages]


def text_of(pdf: bytes) -> str:
    """All the words, pages one after another."""
    return " ".join(pages_of(pdf))


def _reference(body: bytes, name: bytes) -> int:
    return int(re.search(rb"/" + name + rb" (\d+) 0 R", body)[1])


def _stream(body: bytes) -> bytes:
    head, data = body.split(b"stream", 1)
    data = data[: data.rindex(b"endstream")].strip()
    if b"ASCII85Decode" in head:
        data = base64.a85decode(data.removesuffix(b"~>"))
    return zlib.decompress(data) if b"FlateDecode" in head else data


def _letters(objects: dict[int, bytes], font: int) -> dict[int, str]:
    if b"/ToUnicode" not in objects[font]:
        return {}
    mapped = _stream(objects[_reference(objects[font], b"ToUnicode")])
    return {int(code, 16): chr(int(letter, 16)) for code, letter in _MAPPED.findall(mapped)}


def _words(drawn: bytes, letters: dict[bytes, dict[int, str]]) -> str:
    font, found = b"", []
    for name, shown in _SHOWN.findall(drawn):
        if name:
            font = name
        else:
            known = letters[font]
            found.append("".join(known.get(code, chr(code)) for code in _bytes(shown)))
    return " ".join(" ".join(found).split())


def _bytes(shown: bytes) -> bytes:
    def plain(match: re.Match[bytes]) -> bytes:
        said = match[1]
        return bytes([int(said, 8)]) if said.isdigit() else _PLAIN.get(said, said)

    return _ESCAPED.sub(plain, shown)
