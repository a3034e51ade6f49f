"""Pictures made anew: what is kept is what is to be seen, and nothing that came along with it."""

from __future__ import annotations

import io
import warnings

from PIL import Image, ImageOps

from inventory.ground.uploads.kinds import MediaType
from inventory.ground.uploads.limits import MOST_PIXELS
from inventory.ground.uploads.refusals import PictureTooLarge, UnreadableUpload

_QUALITY = 90
_UNREADABLE = (
    "This picture cannot be read to its end: take it again, or save it anew and send that."
)


def made_anew(content: bytes, kind: MediaType) -> bytes:
    """The same picture encoded afresh, upright, without position, camera, comment or profile.

    Raises PictureTooLarge, UnreadableUpload.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # its warning of large pictures is our refusal
            with Image.open(io.BytesIO(content), formats=[kind.words]) as opened:
                _fits(opened.width, opened.height)
                return _encoded(opened, kind)
    except Image.DecompressionBombError as error:
        raise PictureTooLarge(_too_large()) from error
    except (OSError, ValueError, SyntaxError, EOFError, KeyError) as error:
        raise UnreadableUpload(_UNREADABLE) from error


def _fits(width: int, height: int) -> None:
    if width * height > MOST_PIXELS:
        raise PictureTooLarge(_too_large(f"{width} × {height} points are"))


def _too_large(what: str = "this is") -> str:
    told = f"{what} more than the {MOST_PIXELS // 1_000_000} million points that are looked at"
    return f"{told[:1].upper()}{told[1:]}: send it smaller."


def _encoded(picture: Image.Image, kind: MediaType) -> bytes:
    upright = ImageOps.exif_transpose(picture)
    plain = upright.convert("L" if upright.mode in ("1", "L") else _mode(upright, kind))
    plain.info = {}  # comments, profiles, positions: nothing of it is written again
    out = io.BytesIO()
    if kind is MediaType.JPEG:
        plain.save(out, "JPEG", quality=_QUALITY, optimize=True)
    else:
        plain.save(out, "PNG")
    return out.getvalue()


def _mode(picture: Image.Image, kind: MediaType) -> str:
    see_through = picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info
    return "RGBA" if see_through and kind is MediaType.PNG else "RGB"
