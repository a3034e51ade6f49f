"""Of a file that is too large nothing is kept anywhere, and the person still gets the sentence."""

from __future__ import annotations

import tracemalloc

import pytest
from django.conf import settings
from django.http.multipartparser import MultiPartParser
from django.test import RequestFactory

from inventory.ground.uploads import UploadTooLarge, take
from inventory.ground.uploads.limits import MEGABYTE
from tests.ground.uploads.streams import Body


def read_form(size: int):
    body = Body(size)
    request = RequestFactory().post("/")
    meta = {
        "CONTENT_TYPE": body.media_type,
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
    assert list(tmp_path.iterdir()) == []
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
    files["file"].close()


def test_it_comes_before_the_others():
    assert settings.FILE_UPLOAD_HANDLERS[0].endswith("WithinLimit")
