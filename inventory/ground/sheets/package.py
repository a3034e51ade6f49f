"""The zip file that a workbook is: looked at before anything in it is unpacked."""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from collections.abc import Iterator
from itertools import islice
from xml.etree import ElementTree

from inventory.ground.sheets.limits import MOST_BYTES_UNPACKED
from inventory.ground.sheets.problems import UnreadableSheet

_CHUNK = 1 << 20
_MERGED = b"mergeCell"
# A damaged entry may ask for a version or a method that nobody knows, which is NotImplementedError.
_BROKEN = (zipfile.BadZipFile, NotImplementedError, zlib.error)
_DAMAGED = "This workbook is damaged: open it in a spreadsheet program and save it as .xlsx again."


def opened(data: bytes) -> zipfile.ZipFile:
    """The workbook's zip file, of a size that can be unpacked. Raises UnreadableSheet."""
    try:
        package = zipfile.ZipFile(io.BytesIO(data))
    except (*_BROKEN, ValueError, OSError) as error:
        raise UnreadableSheet(_DAMAGED) from error
    entries = package.infolist()
    if sum(entry.file_size for entry in entries) > MOST_BYTES_UNPACKED or len(entries) > 10_000:
        megabytes = MOST_BYTES_UNPACKED // (1024 * 1024)
        raise UnreadableSheet(
            f"This workbook unpacks to more than {megabytes} MB: copy the cells that matter into a "
            "new one."
        )
    if any(entry.flag_bits & 1 for entry in entries):
        raise UnreadableSheet("This workbook has a password: save it without one.")
    if "[Content_Types].xml" not in package.namelist():
        raise UnreadableSheet(
            "This is a zip file, but no workbook: save the sheet as .xlsx (not .ods, .zip or "
            ".numbers), or as CSV."
        )
    return package


def merged_ranges(package: zipfile.ZipFile, path: str) -> list[str]:
    """The first ranges of merged cells of one worksheet, such as ``A1:C1``; ten at the most."""
    try:
        if not _mentions(package, path, _MERGED):
            return []
        return list(islice(_ranges(package, path), 10))
    except (*_BROKEN, ElementTree.ParseError, KeyError) as error:
        raise UnreadableSheet(_DAMAGED) from error


def _mentions(package: zipfile.ZipFile, path: str, word: bytes) -> bool:
    """Whether the raw text holds a word; a hundred times quicker than to parse it all."""
    before = b""
    with package.open(path) as part:
        while chunk := part.read(_CHUNK):
            before = before[-len(word) :] + chunk  # it may lie across two reads
            if word in before:
                return True
    return False


def _ranges(package: zipfile.ZipFile, path: str) -> Iterator[str]:
    with package.open(path) as part:
        # expat bounds the growth of entities by itself (2.4.1 and later)
        for _, element in ElementTree.iterparse(part):  # noqa: S314
            if re.sub(r"\{.*\}", "", element.tag) == "mergeCell":
                yield str(element.get("ref", ""))
            element.clear()


def damaged() -> UnreadableSheet:
    """What is raised where a part of the workbook cannot be read."""
    return UnreadableSheet(_DAMAGED)
