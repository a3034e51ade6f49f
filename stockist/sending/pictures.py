"""Pictures of a complaint: what is sent is judged and made harmless before it is kept."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django import forms
from django.contrib.auth.models import User
from django.core.files.uploadedfile import UploadedFile

from inventory.activities import complaining
from inventory.ground.idempotency import KeyedForm
from inventory.ground.uploads import PICTURES, take
from inventory.models.complaint import ComplaintPicture, CustomerComplaint


class PictureForm(KeyedForm):
    """A photograph of the tyre."""

    file = forms.FileField(label="Photograph, JPEG or PNG")


def kept(
    *, complaint: CustomerComplaint, file: UploadedFile[Any], by: User, at: datetime
) -> ComplaintPicture:
    """Judge a file and keep its copy. Raises UploadRefused, PictureIsThere, Faulty."""
    got = take(file, among=PICTURES)
    return complaining.add_picture(
        complaint=complaint,
        name=got.name,
        digest=got.digest,
        media_type=str(got.media_type),
        content=got.copy,
        by=by,
        at=at,
    )
