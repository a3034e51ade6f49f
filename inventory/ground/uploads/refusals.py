"""Why a file is not taken."""

from __future__ import annotations

from inventory.ground.refusal import Refusal


class UploadRefused(Refusal):
    """A file that was sent is not taken."""

    status = 422

    def __init__(self, sentence: str | None = None, *, field: str | None = "file") -> None:
        super().__init__(sentence, field=field)


class EmptyUpload(UploadRefused):
    """A file has nothing in it."""

    sentence = "This file is empty: choose another."


class UploadTooLarge(UploadRefused):
    """A file is larger than is taken."""

    status = 413


class NotThatKind(UploadRefused):
    """What is in a file is not what is taken here, whatever it is called."""

    status = 415


class UnreadableUpload(UploadRefused):
    """A file says that it is a picture or a PDF, and cannot be read as one."""


class PictureTooLarge(UploadRefused):
    """A picture would unpack to more than is looked at."""


class PdfIsActive(UploadRefused):
    """A PDF holds something that acts when it is opened, or that cannot be looked into."""


class FileIsGone(Refusal):
    """A file that was kept is no longer there, or no longer what it was."""

    status = 410
