"""Where files lie: under their own digest, in the folder of the settings, outside any web root.

A file is written beside and put into place, so that nobody reads half of one; the same content is
kept once. What is written for a row that is then not written stays unused and does no harm.
"""

from __future__ import annotations

import hashlib
import os
import re
import tempfile
from pathlib import Path

from django.conf import settings

from inventory.ground.uploads.refusals import FileIsGone

_DIGEST = re.compile(r"[0-9a-f]{64}")
_MODE = 0o640
_FOLDER_MODE = 0o750


def keep(content: bytes, digest: str) -> None:
    """Keep bytes under their SHA-256; nothing happens if they are there."""
    place = _place(digest)
    if place.exists():
        return
    place.parent.mkdir(mode=_FOLDER_MODE, parents=True, exist_ok=True)
    number, beside = tempfile.mkstemp(dir=place.parent, prefix=".coming-")
    try:
        with os.fdopen(number, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        Path(beside).chmod(_MODE)
        os.replace(beside, place)
    finally:
        Path(beside).unlink(missing_ok=True)


def content_of(digest: str) -> bytes:
    """The bytes kept under a digest, looked at again. Raises FileIsGone."""
    try:
        content = _place(digest).read_bytes()
    except OSError as error:
        raise FileIsGone("This file is no longer where it was kept: ask the owner.") from error
    if hashlib.sha256(content).hexdigest() != digest:
        raise FileIsGone("This file has been changed since it was kept: ask the owner.")
    return content


def _place(digest: str) -> Path:
    if not _DIGEST.fullmatch(digest):
        raise ValueError("a digest is 64 figures and small letters a to f")
    return Path(settings.EVIDENCE_ROOT) / digest[:2] / digest
