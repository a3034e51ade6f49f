"""Files that people send: a PDF or a picture, judged by what is in it, made harmless, kept.

received = take(file, among=PICTURES)      # Received, or a refusal in words
kept = store.keep(received)                # in the folder of the settings, outside any web root
return attachment(content, name=..., media_type=...)
"""

from __future__ import annotations

from inventory.ground.uploads.kinds import DOCUMENTS, PICTURES, MediaType
from inventory.ground.uploads.limits import MOST_BYTES
from inventory.ground.uploads.names import harmless_name
from inventory.ground.uploads.refusals import (
    EmptyUpload,
    FileIsGone,
    NotThatKind,
    PdfIsActive,
    PictureTooLarge,
    UnreadableUpload,
    UploadRefused,
    UploadTooLarge,
)
from inventory.ground.uploads.serving import attachment
from inventory.ground.uploads.taking import Received, take

__all__ = [
    "DOCUMENTS",
    "MOST_BYTES",
    "PICTURES",
    "EmptyUpload",
    "FileIsGone",
    "MediaType",
    "NotThatKind",
    "PdfIsActive",
    "PictureTooLarge",
    "Received",
    "UnreadableUpload",
    "UploadRefused",
    "UploadTooLarge",
    "attachment",
    "harmless_name",
    "take",
]
