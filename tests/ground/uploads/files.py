"""Files as people send them, good and bad, made for the tests."""

from __future__ import annotations

import io
import struct
import zlib

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image
from PIL.ExifTags import GPS, IFD, Base
from reportlab.pdfgen.canvas import Canvas


def pdf(words: str = "Letter HC/208") -> bytes:
    out = io.BytesIO()
    page = Canvas(out, invariant=1)
    page.drawString(72, 720, words)
    page.save()
    return out.getvalue()


def pdf_with(name: bytes) -> bytes:
    """A PDF whose catalogue holds a name."""
    return pdf().replace(b"/Type /Catalog", b"/Type /Catalog " + name + b" 7 0 R", 1)


def pdf_with_packed(text: bytes, about: bytes = b"/Filter /FlateDecode") -> bytes:
    """A PDF that holds an object stream with this text, packed."""
    packed = zlib.compress(text) if about else text
    head = b"99 0 obj\n<< /Type /ObjStm /N 1 /First 4 " + about
    part = head + b" /Length %d >>\nstream\n" % len(packed) + packed + b"\nendstream\nendobj\n"
    whole = pdf()
    at = whole.index(b"xref")
    return whole[:at] + part + whole[at:]


def picture(
    kind: str = "JPEG", size: tuple[int, int] = (40, 30), mode: str = "RGB", **save
) -> bytes:
    out = io.BytesIO()
    Image.new(mode, size, "red" if mode != "L" else 99).save(out, kind, **save)
    return out.getvalue()


def png_of(width: int, height: int) -> bytes:
    """A PNG that says it is so large, with a line of nothing in it (ISO/IEC 15948 11.2.2)."""

    def chunk(name: bytes, data: bytes) -> bytes:
        checked = name + data
        return struct.pack(">I", len(data)) + checked + struct.pack(">I", zlib.crc32(checked))

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    data = chunk(b"IDAT", zlib.compress(b"\0" * 1000))
    return b"\x89PNG\r\n\x1a\n" + head + data + chunk(b"IEND", b"")


def photograph_at(latitude: float, longitude: float) -> bytes:
    """A JPEG on its side with position, camera and a comment, as telephones make them."""
    exif = Image.Exif()
    exif[Base.Make] = "Somebody's telephone"
    exif[Base.Orientation] = 6  # to be turned a quarter to be upright
    position = exif.get_ifd(IFD.GPSInfo)
    position[GPS.GPSLatitudeRef], position[GPS.GPSLatitude] = "N", (latitude, 0.0, 0.0)
    position[GPS.GPSLongitudeRef], position[GPS.GPSLongitude] = "W", (longitude, 0.0, 0.0)
    return picture(size=(60, 20), exif=exif, comment=b"behind the barn")


def sent(content: bytes, name: str = "letter.pdf", kind: str = "application/pdf"):
    return SimpleUploadedFile(name, content, content_type=kind)
