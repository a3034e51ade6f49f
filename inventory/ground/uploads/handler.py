"""The first of Django's upload handlers: of a file that is too large nothing is kept anywhere.

The rest of it is read and thrown away, so that the fields after it arrive and the person gets the
sentence; a connection that is cut off would show them the browser's own words instead.
"""

from __future__ import annotations

import io
from typing import Any

from django.core.files.uploadedfile import InMemoryUploadedFile, UploadedFile
from django.core.files.uploadhandler import FileUploadHandler

from inventory.ground.uploads.limits import MOST_BYTES_SENT


class TooLargeFile(InMemoryUploadedFile):
    """Stands for a file that was too large: its name and its size, and nothing of it."""


class WithinLimit(FileUploadHandler):
    """Passes a file on to the handlers after it as long as it is within the limit."""

    def new_file(self, *args: Any, **kwargs: Any) -> None:
        super().new_file(*args, **kwargs)
        self.over = False

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes | None:
        self.over = self.over or start + len(raw_data) > MOST_BYTES_SENT
        return None if self.over else raw_data

    def file_complete(self, file_size: int) -> UploadedFile[Any] | None:
        if not self.over:
            return None
        for handler in self.request.upload_handlers if self.request else ():
            handler.upload_interrupted()  # what they have kept of its beginning goes at once
        return TooLargeFile(
            io.BytesIO(), self.field_name, self.file_name or "", self.content_type or "", file_size,
            self.charset, self.content_type_extra,
        )  # fmt: skip
