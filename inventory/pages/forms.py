"""What the page of a sheet takes."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile

from inventory.ground.idempotency import KeyedForm
from inventory.ground.sheets.limits import MOST_BYTES

_MEGABYTE = 1024 * 1024


class SheetForm(KeyedForm):
    """A spreadsheet file, to be checked only, or to be loaded."""

    file = forms.FileField(
        label="Spreadsheet",
        help_text="A workbook (.xlsx), or CSV in UTF-8. The first row holds the headings.",
        error_messages={"required": "Choose a file first.", "empty": "This file is empty."},
        widget=forms.FileInput(attrs={"accept": ".csv,.xlsx"}),
    )

    def clean_file(self) -> UploadedFile[Any]:
        """A file of a size that is read."""
        file: UploadedFile[Any] = self.cleaned_data["file"]
        if file.size is not None and file.size > MOST_BYTES:
            told = f"{file.size / _MEGABYTE:.0f} MB is more than the {MOST_BYTES // _MEGABYTE} MB"
            raise forms.ValidationError(
                f"{told} that are read: divide the file, or take pictures out of it."
            )
        return file

    def data_of_file(self) -> bytes:
        """The bytes that were sent."""
        file: UploadedFile[Any] = self.cleaned_data["file"]
        file.seek(0)
        data: bytes = file.read()
        return data
