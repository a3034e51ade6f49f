"""What a file is, by its first bytes; neither its name nor what the browser says is believed."""

from __future__ import annotations

from collections.abc import Collection
from enum import StrEnum

from inventory.ground.uploads.refusals import NotThatKind


class MediaType(StrEnum):
    """The kinds of files that are taken, by their registered media types (RFC 8118, RFC 2083)."""

    PDF = "application/pdf"
    JPEG = "image/jpeg"
    PNG = "image/png"

    @property
    def ending(self) -> str:
        return {"application/pdf": "pdf", "image/jpeg": "jpg", "image/png": "png"}[self.value]

    @property
    def words(self) -> str:
        return {"application/pdf": "PDF", "image/jpeg": "JPEG", "image/png": "PNG"}[self.value]


PICTURES = frozenset({MediaType.JPEG, MediaType.PNG})
DOCUMENTS = PICTURES | {MediaType.PDF}

# PDF 1.7 (ISO 32000-1) 7.5.2, JFIF and Exif start-of-image, PNG (ISO/IEC 15948) 5.2.
_BEGINNINGS = (
    (b"%PDF-", MediaType.PDF),
    (b"\xff\xd8\xff", MediaType.JPEG),
    (b"\x89PNG\r\n\x1a\n", MediaType.PNG),
)


def kind_of(content: bytes, among: Collection[MediaType]) -> MediaType:
    """What these bytes begin like. Raises NotThatKind where that is none of ``among``."""
    found = next((kind for start, kind in _BEGINNINGS if content.startswith(start)), None)
    if found in among and found is not None:
        return found
    wanted = " or ".join(kind.words for kind in MediaType if kind in among)
    what = f"a {found.words}" if found else "something else, whatever it is called"
    raise NotThatKind(f"A {wanted} is taken here; this file is {what}.")
