"""A file is judged by what is in it; what could do harm is refused or made harmless, in words."""

from __future__ import annotations

import hashlib
import io
import zlib

import pytest
from PIL import Image

from inventory.ground.uploads import (
    DOCUMENTS,
    MOST_BYTES,
    PICTURES,
    EmptyUpload,
    MediaType,
    NotThatKind,
    PdfIsActive,
    PictureTooLarge,
    UnreadableUpload,
    UploadTooLarge,
    take,
)
from tests.ground.uploads import files


def taken(content, name="letter.pdf", among=DOCUMENTS):
    return take(files.sent(content, name), among=among)


class TestKinds:
    def test_a_pdf_is_kept_as_it_came(self):
        content = files.pdf()
        found = taken(content)
        assert (found.media_type, found.copy) == (MediaType.PDF, content)
        assert found.digest == found.copy_digest == hashlib.sha256(content).hexdigest()

    @pytest.mark.parametrize(("kind", "media"), [("JPEG", MediaType.JPEG), ("PNG", MediaType.PNG)])
    def test_a_picture_is_made_anew(self, kind, media):
        content = files.picture(kind)
        found = taken(content, "a.bin")
        assert found.media_type is media
        assert found.digest == hashlib.sha256(content).hexdigest()
        assert found.copy_digest == hashlib.sha256(found.copy).hexdigest()
        assert Image.open(io.BytesIO(found.copy)).size == (40, 30)
        assert found.name == f"a.{media.ending}"

    @pytest.mark.parametrize(
        "content",
        [
            b"#!/bin/sh\nrm -rf /\n",
            b"<script>alert(1)</script>",
            b"<svg xmlns='http://www.w3.org/2000/svg'/>",
            b"MZ\x90\x00",
            b"PK\x03\x04" + zlib.compress(b"\0" * 100_000),  # a zip bomb is a zip
            b"GIF89a",
            b" %PDF-1.7\n%%EOF",
        ],
        ids=["shell", "script", "svg", "program", "zip", "gif", "not at the start"],
    )
    def test_whatever_it_is_called_it_is_no_pdf(self, content):
        with pytest.raises(NotThatKind, match="PDF or JPEG or PNG is taken here") as refusal:
            taken(content, "letter.pdf")
        assert (refusal.value.status, refusal.value.field) == (415, "file")

    def test_only_the_kinds_that_are_wanted(self):
        with pytest.raises(NotThatKind, match="A JPEG or PNG is taken here; this file is a PDF"):
            taken(files.pdf(), among=PICTURES)


class TestSizes:
    def test_nothing_in_it(self):
        with pytest.raises(EmptyUpload):
            taken(b"")

    def test_one_byte_too_many(self):
        with pytest.raises(UploadTooLarge, match="21 MB are more than the 20 MB"):
            taken(files.pdf() + b" " * MOST_BYTES)

    def test_no_more_is_read_than_is_taken(self):
        """A file that does not say how large it is, and never ends."""

        class Endless(io.RawIOBase):
            name, size, read_so_far = "x.pdf", None, 0

            def seek(self, *args):
                return 0

            def read(self, count=-1):
                assert 0 < count <= MOST_BYTES + 1
                Endless.read_so_far += count
                return b"%" * count

        with pytest.raises(UploadTooLarge):
            take(Endless())
        assert Endless.read_so_far == MOST_BYTES + 1


class TestPictures:
    def test_position_camera_and_comment_are_gone(self):
        content = files.photograph_at(54, 2)
        before = Image.open(io.BytesIO(content))
        assert before.getexif().get_ifd(0x8825)
        assert b"behind the barn" in content
        found = taken(content, "IMG_0001.jpg")
        after = Image.open(io.BytesIO(found.copy))
        assert not dict(after.getexif())
        assert not set(after.info) & {"exif", "comment", "icc_profile", "xmp"}
        assert b"telephone" not in found.copy
        assert b"behind the barn" not in found.copy
        assert found.digest != found.copy_digest

    def test_it_stands_upright_afterwards(self):
        assert Image.open(io.BytesIO(files.photograph_at(54, 2))).size == (60, 20)
        found = taken(files.photograph_at(54, 2))
        assert Image.open(io.BytesIO(found.copy)).size == (20, 60)

    def test_what_hangs_on_behind_a_picture_is_gone(self):
        assert b"<?php" not in taken(files.picture() + b"<?php system($_GET['x']);").copy

    @pytest.mark.parametrize("mode", ["L", "RGB", "RGBA", "P", "1", "I;16"])
    def test_every_way_of_keeping_colours(self, mode):
        out = io.BytesIO()
        Image.new(mode, (8, 8)).save(out, "PNG")
        assert Image.open(io.BytesIO(taken(out.getvalue()).copy)).size == (8, 8)

    def test_what_is_seen_through_stays_so(self):
        out = io.BytesIO()
        Image.new("RGBA", (4, 4), (1, 2, 3, 0)).save(out, "PNG")
        assert Image.open(io.BytesIO(taken(out.getvalue()).copy)).getpixel((0, 0))[3] == 0

    def test_a_bomb_is_refused_before_it_is_unpacked(self):
        """60,000 by 60,000 points in a kilobyte: 10 GB, if anybody looked."""
        with pytest.raises(PictureTooLarge, match="more than the 50 million points"):
            taken(files.png_of(60_000, 60_000))

    def test_a_little_more_than_is_looked_at(self):
        with pytest.raises(PictureTooLarge, match="10001 × 5000 points are more"):
            taken(files.png_of(10_001, 5_000))

    @pytest.mark.parametrize("kind", ["JPEG", "PNG"])
    def test_half_a_picture(self, kind):
        with pytest.raises(UnreadableUpload, match="cannot be read to its end"):
            taken(files.picture(kind, (200, 200))[:400])

    def test_only_the_beginning_is_a_picture_s(self):
        with pytest.raises(UnreadableUpload):
            taken(b"\xff\xd8\xff<script>alert(1)</script>")


class TestPdfs:
    @pytest.mark.parametrize(
        ("name", "words"),
        [
            (b"/JavaScript", "holds a script"),
            (b"/J#61vaScript", "holds a script"),
            (b"/Launch", "starts another program"),
            (b"/EmbeddedFiles", "carries another file"),
            (b"/EmbeddedFile", "carries another file"),
            (b"/SubmitForm", "sends a form"),
            (b"/RichMedia", "plays media"),
            (b"/XFA", "program of its own"),
            (b"/Encrypt", "is encrypted"),
        ],
    )
    def test_what_acts_is_refused_with_the_way_out(self, name, words):
        with pytest.raises(PdfIsActive, match=words) as refusal:
            taken(files.pdf_with(name))
        assert "send a picture of each page" in str(refusal.value)

    @pytest.mark.parametrize("name", [b"/Launching", b"/OpenAction", b"/EncryptMetadata", b"/JS1"])
    def test_names_that_only_begin_alike_are_harmless(self, name):
        assert taken(files.pdf_with(name)).media_type is MediaType.PDF

    def test_words_on_the_paper_are_no_actions(self):
        assert taken(files.pdf("JavaScript, Launch, Encrypt")).media_type is MediaType.PDF

    def test_what_is_packed_is_looked_into(self):
        with pytest.raises(PdfIsActive, match="holds a script"):
            taken(files.pdf_with_packed(b"7 0 << /S /JavaScript /JS (app.alert(1)) >>"))
        assert taken(files.pdf_with_packed(b"7 0 << /Type /Page >>"))

    def test_what_is_not_packed_as_well(self):
        with pytest.raises(PdfIsActive, match="holds a script"):
            taken(files.pdf_with_packed(b"7 0 << /S /JavaScript >>", about=b""))

    def test_an_end_of_a_stream_inside_it_hides_nothing(self):
        hidden = b"endstream endobj " + b"/JavaScript "
        with pytest.raises(PdfIsActive, match="holds a script"):
            taken(files.pdf_with_packed(hidden))

    @pytest.mark.parametrize(
        "about", [b"/Filter [/ASCII85Decode /FlateDecode]", b"/Filter /LZWDecode",
                  b"/Filter /FlateDecode /DecodeParms << /Predictor 12 >>"]
    )  # fmt: skip
    def test_what_cannot_be_looked_into_is_refused(self, about):
        with pytest.raises(PdfIsActive, match="cannot be looked into"):
            taken(files.pdf_with_packed(b"7 0 <<>>", about=about))

    def test_a_bomb_in_it_is_not_unpacked(self):
        with pytest.raises(PdfIsActive, match="unpacks to more than is looked at"):
            taken(files.pdf_with_packed(b"\0" * 70_000_000))

    def test_many_small_ones_together_are_one(self, monkeypatch):
        monkeypatch.setattr("inventory.ground.uploads.pdfs.MOST_BYTES_UNPACKED", 1000)
        one = files.pdf_with_packed(b"0" * 600)
        assert taken(one)
        both = one.replace(b"xref", files.pdf_with_packed(b"0" * 600), 1)
        with pytest.raises(PdfIsActive, match="unpacks to more"):
            taken(both)

    def test_half_a_pdf(self):
        with pytest.raises(UnreadableUpload, match="has no end"):
            taken(files.pdf()[:-60])

    def test_a_packed_part_that_is_torn(self):
        torn = files.pdf_with_packed(b"7 0 <<>>").replace(b"stream\nx", b"stream\n\0")
        with pytest.raises(UnreadableUpload, match="cannot be read to its end"):
            taken(torn)
