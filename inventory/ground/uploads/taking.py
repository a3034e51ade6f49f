"""Taking a file: read within the limit, judged by what is in it, made harmless."""

from __future__ import annotations

import hashlib
from collections.abc import Collection
from dataclasses import dataclass
from typing import Any

from django.core.files.base import File

from inventory.ground.uploads.kinds import DOCUMENTS, MediaType, kind_of
from inventory.ground.uploads.limits import MEGABYTE, MOST_BYTES
from inventory.ground.uploads.names import harmless_name
from inventory.ground.uploads.pdfs import refuse_active
from inventory.ground.uploads.pictures import made_anew
from inventory.ground.uploads.refusals import EmptyUpload, UploadTooLarge


@dataclass(frozen=True, slots=True)
class Received:
    """A file as it is kept. ``digest`` is the SHA-256 of the bytes as they came, in hexadecimal;
    ``copy`` is what may be handed out again and ``copy_digest`` its own: a picture is made anew.
    """

    name: str
    media_type: MediaType
    digest: str
    copy: bytes
    copy_digest: str

    @property
    def size(self) -> int:
        """Bytes of the copy."""
        return len(self.copy)


def take(file: File[Any], *, among: Collection[MediaType] = DOCUMENTS) -> Received:
    """Read a file that was sent, once, and never more of it than is taken.

    ``among`` are the kinds wanted. Raises EmptyUpload, UploadTooLarge, NotThatKind,
    UnreadableUpload, PictureTooLarge, PdfIsActive: all are UploadRefused.
    """
    content = _read(file)
    kind = kind_of(content, among)
    if kind is MediaType.PDF:
        refuse_active(content)
        copy = content
    else:
        copy = made_anew(content, kind)
    return Received(
        harmless_name(file.name or "", kind), kind, _digest(content), copy, _digest(copy)
    )


def _read(file: File[Any]) -> bytes:
    said = file.size or 0
    if said > MOST_BYTES:
        raise UploadTooLarge(_too_large(said))
    file.seek(0)
    content: bytes = file.read(MOST_BYTES + 1)
    if len(content) > MOST_BYTES:
        raise UploadTooLarge(_too_large(len(content)))
    if not content:
        raise EmptyUpload
    return content


def _too_large(size: int) -> str:
    told = f"{-(-size // MEGABYTE)} MB are more than the {MOST_BYTES // MEGABYTE} MB"
    return f"{told} that are taken: send it smaller, or in parts."


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
