"""Of a file that is too large nothing is kept anywhere, and the person still gets the sentence."""

from __future__ import annotations

import io
import tracemalloc

import pytest
from django.conf import settings
from django.http.multipartparser import MultiPartParser
from django.test import RequestFactory

from inventory.ground.uploads import UploadTooLarge, take
from inventory.ground.uploads.limits import MEGABYTE

BOUNDARY = "a-boundary"


class Body(io.RawIOBase):
    """A form with a file of so many bytes that never stand anywhere together."""

    def __init__(self, size: int) -> None:
        head = (
            f'--{BOUNDARY}\r\nContent-Disposition: form-data; name="file"; filename="big.pdf"\r\n'
            "Content-Type: application/pdf\r\n\r\n%PDF-1.7\n"
        )
        tail = (
            f'\r\n--{BOUNDARY}\r\nContent-Disposition: form-data; name="code"\r\n\r\nEV-1\r\n'
            f"--{BOUNDARY}--\r\n"
        )
        self.parts = [head.encode(), size, tail.encode()]
        self.length = len(head) + size + len(tail)

    def read(self, count=-1):
        while self.parts:
            part = self.parts[0]
            if isinstance(part, int):
                give = min(part, count, MEGABYTE)
                self.parts[0] = part - give
                if not self.parts[0]:
                    self.parts.pop(0)
                return b"\0" * give
            self.parts[0] = part[count:]
            if not self.parts[0]:
                self.parts.pop(0)
            return part[:count]
        return b""


def read_form(size: int):
    body = Body(size)
    request = RequestFactory().post("/")
    meta = {
        "CONTENT_TYPE": f"multipart/form-data; boundary={BOUNDARY}",
        "CONTENT_LENGTH": str(body.length),
    }
    return MultiPartParser(meta, body, request.upload_handlers).parse()


def test_a_gigabyte_is_read_and_thrown_away(tmp_path, settings):
    settings.FILE_UPLOAD_TEMP_DIR = str(tmp_path)
    tracemalloc.start()
    fields, files = read_form(1024 * MEGABYTE)
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert most < 40 * MEGABYTE
    assert sum(path.stat().st_size for path in tmp_path.iterdir()) <= 26 * MEGABYTE
    assert fields["code"] == "EV-1"  # what comes after it arrives
    assert files["file"].size > 1024 * MEGABYTE
    assert files["file"].read() == b""
    with pytest.raises(UploadTooLarge, match="1025 MB are more than the 20 MB"):
        take(files["file"])


def test_what_fits_passes(tmp_path, settings):
    settings.FILE_UPLOAD_TEMP_DIR = str(tmp_path)
    _, files = read_form(3 * MEGABYTE)
    assert files["file"].size == 3 * MEGABYTE + len("%PDF-1.7\n")
    assert files["file"].read(5) == b"%PDF-"


def test_it_comes_before_the_others():
    assert settings.FILE_UPLOAD_HANDLERS[0].endswith("WithinLimit")
