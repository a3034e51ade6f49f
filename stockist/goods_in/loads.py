"""What is loaded, as a scanner or a keyboard says it: a lot, a place, how many."""

from __future__ import annotations

import re
from typing import Any

from django import forms

from inventory.activities.transferring import Load
from stockist.goods_in.fields import PLAIN
from stockist.goods_in.scans import lot_named, not_wanted, place_named

MOST_LOADS = 100


class LoadsField(forms.CharField):
    """A line for each load, or one thing a line; cleaned to loads as the activities take them."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.Textarea({"rows": 6, **PLAIN, "data-scan": True}))
        kwargs.setdefault("max_length", 8000)
        kwargs.setdefault(
            "help_text",
            "Such as: LOT-0140 A-01-2 4. Or scanned: the lot, the place, how many, each with "
            "Enter.",
        )
        super().__init__(**kwargs)

    def clean(self, value: Any) -> list[Load]:
        """Each line at fault is named."""
        lines = said_by_line(super().clean(value))
        if len(lines) > MOST_LOADS:
            raise forms.ValidationError(f"{len(lines)} lines at once: {MOST_LOADS} are the most.")
        return [_load(number, words) for number, words in enumerate(lines, start=1)]


def said_by_line(text: str) -> list[list[str]]:
    """The words of each line. A scanner ends every scan with Enter: three such lines are one.

    Split at blanks and ends of lines alone: a separator within a scan is a blank to Python.
    """
    lines = [re.split(r"[ \t]+", line.strip(" \t\r")) for line in text.split("\n")]
    said = [words for words in lines if words != [""]]
    if len(said) >= 3 and all(len(words) == 1 for words in said):
        flat = [words[0] for words in said]
        return [flat[start : start + 3] for start in range(0, len(flat), 3)]
    return said


def _load(number: int, words: list[str]) -> Load:
    if len(words) != 3 or not re.fullmatch(r"[0-9]{1,7}", words[2]):
        raise forms.ValidationError(f"Line {number}: a lot, a place and a number are wanted.")
    lot, place = lot_named(words[0]), place_named(words[1])
    if lot is None:
        raise forms.ValidationError(f"Line {number}: {not_wanted(words[0], 'the label of a lot')}")
    if place is None:
        wanted = "the label of a place"
        raise forms.ValidationError(f"Line {number}: {not_wanted(words[1], wanted)}")
    return Load(lot, place, int(words[2]))
