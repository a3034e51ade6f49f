"""PDFs looked into: whatever acts when one is opened, or cannot be looked into, is refused.

Read by the syntax of ISO 32000-1 (PDF 1.7): names (7.3.5, with # escapes), object streams (7.5.7),
encryption (7.6), actions (12.6). A reader of the whole format is not needed to refuse: a name that
stands anywhere, in the clear or packed into an object stream, is enough.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterator

from inventory.ground.uploads.limits import MOST_BYTES_UNPACKED
from inventory.ground.uploads.refusals import PdfIsActive, UnreadableUpload

_WAY_OUT = "Print it to a new PDF, or send a picture of each page."
_FORBIDDEN = {
    b"Encrypt": "is encrypted, so that nobody can look into it",
    b"JavaScript": "holds a script",
    b"Launch": "starts another program",
    b"SubmitForm": "sends a form somewhere",
    b"ImportData": "reads in other data",
    b"RichMedia": "plays media",
    b"Rendition": "plays media",
    b"Movie": "plays media",
    b"XFA": "holds a form with a program of its own",
    b"EmbeddedFile": "carries another file inside it",
    b"EmbeddedFiles": "carries another file inside it",
}
# A name ends at white space or a delimiter (7.2.2, 7.2.3).
_ENDS = rb"(?=[\0\t\n\f\r ()<>\[\]{}/%]|$)"
_NAMES = re.compile(rb"/(" + b"|".join(sorted(_FORBIDDEN, reverse=True)) + rb")" + _ENDS)
_ESCAPED = re.compile(rb"#([0-9A-Fa-f]{2})")
_STREAM = re.compile(rb"stream\r?\n")
_OBJECT = re.compile(rb"\bobj\b")
_FILTERS = re.compile(rb"/([A-Za-z0-9]+Decode)\b")
_PIECE = 1 << 16
_FURTHEST = 4096  # a dictionary of an object stream is far shorter


def refuse_active(content: bytes) -> None:
    """Raises UnreadableUpload where it is no whole PDF, PdfIsActive where it is more than paper."""
    if b"%%EOF" not in content[-2048:]:
        raise UnreadableUpload("This PDF has no end: send the whole file again.")
    plain = _plain(content)
    _look(plain)
    for part in _object_streams(content):
        _look(_plain(part))


def _look(content: bytes) -> None:
    found = _NAMES.search(content)
    if found:
        raise PdfIsActive(f"This PDF {_FORBIDDEN[found[1]]}. {_WAY_OUT}")


def _plain(content: bytes) -> bytes:
    """With the escapes of names read: /J#61vaScript is /JavaScript."""
    return _ESCAPED.sub(lambda found: bytes([int(found[1], 16)]), content)


def _object_streams(content: bytes) -> Iterator[bytes]:
    """What is packed into the object streams, all of it together within the limit."""
    room = MOST_BYTES_UNPACKED
    for stream in _STREAM.finditer(content):
        if content[stream.start() - 3 : stream.start()] == b"end":
            continue
        about = _plain(_about(content, stream.start()))
        if not re.search(rb"/ObjStm\b", about):
            continue
        filters = _FILTERS.findall(about)
        if not filters:
            continue  # in the clear: looked at already
        if filters != [b"FlateDecode"] or b"/Predictor" in about:
            raise PdfIsActive(f"This PDF is packed in a way that cannot be looked into. {_WAY_OUT}")
        part = _unpacked(memoryview(content)[stream.end() :], room)
        room -= len(part)
        yield part


def _about(content: bytes, end: int) -> bytes:
    """The dictionary before a stream, from the word ``obj`` on."""
    start = max(0, end - _FURTHEST)
    begun = [found.end() for found in _OBJECT.finditer(content, start, end)]
    return content[begun[-1] if begun else start : end]


def _unpacked(packed: memoryview, room: int) -> bytes:
    """By pieces, so that what comes after a stream is not copied once for each of many."""
    unpack, parts, size = zlib.decompressobj(), [], 0
    try:
        for start in range(0, len(packed), _PIECE):
            part = unpack.decompress(packed[start : start + _PIECE], room + 1 - size)
            size += len(part)
            parts.append(part)
            if size > room:
                raise PdfIsActive(f"This PDF unpacks to more than is looked at. {_WAY_OUT}")
            if unpack.eof:
                break
    except zlib.error as error:
        raise UnreadableUpload("This PDF cannot be read to its end: save it anew.") from error
    return b"".join(parts)
