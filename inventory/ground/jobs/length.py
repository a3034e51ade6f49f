"""Whether a spreadsheet is long, found out quickly and without reading it as one."""

from __future__ import annotations

import re
import zipfile
import zlib
from typing import IO

from inventory.ground.sheets import package
from inventory.ground.sheets.problems import UnreadableSheet

LONG = 1000
_ROW = re.compile(rb"<(?:\w+:)?row[\s>/]")
_WORKSHEET = re.compile(r"xl/worksheets/[^/]+\.xml")
_CHUNK = 1 << 16


def is_long(data: bytes, limit: int = LONG) -> bool:
    """Whether a file may hold more than ``limit`` rows, so that a job should load it.

    Of a CSV file the lines count, of a workbook the rows of its longest worksheet; both may count
    too many, never too few. What cannot be opened is not long: reading it says why.
    """
    if not data.startswith(b"PK\x03\x04"):
        return max(data.count(b"\n"), data.count(b"\r")) > limit + 1
    try:
        with package.opened(data) as archive:
            names = [name for name in archive.namelist() if _WORKSHEET.fullmatch(name)]
            return any(_exceeds(archive, name, limit + 1) for name in names)
    except (UnreadableSheet, zipfile.BadZipFile, zlib.error, OSError):
        return False


def _exceeds(archive: zipfile.ZipFile, name: str, limit: int) -> bool:
    with archive.open(name) as part:
        return _counts_beyond(part, limit)


def _counts_beyond(part: IO[bytes], limit: int) -> bool:
    count, left = 0, b""
    while count <= limit and (chunk := part.read(_CHUNK)):
        text = left + chunk
        cut = text.rfind(b"<")  # a tag may be torn in two: its beginning waits for the rest
        left = text[cut:] if cut >= 0 else b""
        count += len(_ROW.findall(text[:cut] if cut >= 0 else text))
    return count + len(_ROW.findall(left)) > limit
