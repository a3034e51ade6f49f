"""A photograph is kept with a complaint: its digest as it came, a copy without hidden data."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.refusal import Refusal
from inventory.ground.violations import named_violation
from inventory.models.complaint import ComplaintPicture, CustomerComplaint


class PictureIsThere(Refusal):
    """The same file was added to this complaint before."""

    sentence = "This picture is there already. Nothing was changed."


def add_picture(
    *,
    complaint: CustomerComplaint,
    name: str,
    digest: str,
    media_type: str,
    content: bytes,
    by: User,
    at: datetime,
) -> ComplaintPicture:
    """Keep a picture; ``digest`` is of the file as it came, ``content`` the copy to be shown.

    Of a closed complaint too: pictures come late. Raises PictureIsThere, Faulty.
    """
    made = ComplaintPicture(
        complaint=complaint,
        name=name,
        digest=digest,
        media_type=media_type,
        content=content,
        added_at=at,
        added_by=by,
    )
    refuse_faulty(made, ["name", "digest", "media_type"])
    with transaction.atomic(), named_violation(complaint_picture_is_added_once=PictureIsThere):
        made.save(force_insert=True)
    return made
