"""GS1 article numbers: checking them, and one form, 14 digits, to store and compare.

The check digit is GS1's (gs1.org, "How to calculate a check digit manually"): from the right,
weights 3, 1, 3, 1 ..., the digit that takes the sum up to the next multiple of ten. The same for
GTIN-8, -12, -13 and -14, for GLN and for SSCC.
"""

from __future__ import annotations

from inventory.markings.errors import shorten

__all__ = ["BadIdentifier", "check_digit", "normalise_gtin"]

_FIGURES = frozenset("0123456789")
_LENGTHS = (8, 12, 13, 14)
_STORED = 14


class BadIdentifier(ValueError):
    """An identifier that cannot be right; a sentence for the person who typed or scanned it."""


def check_digit(digits: str) -> int:
    """The check digit that belongs behind ``digits`` (given without it).

    Raises BadIdentifier for anything but figures.
    """
    if not digits or not _FIGURES.issuperset(digits):
        raise BadIdentifier(f"“{shorten(digits)}” is not a row of figures.")
    total = sum(int(d) * (1 if i % 2 else 3) for i, d in enumerate(reversed(digits)))
    return -total % 10


def normalise_gtin(text: str) -> str:
    """A GTIN of 8, 12, 13 or 14 figures as 14, noughts in front; spaces and dashes are dropped.

    Raises BadIdentifier for another length, for letters, for a wrong check digit (the right one is
    named), and for a row of noughts.
    """
    figures = text.replace(" ", "").replace("-", "")
    _check_figures(text, figures)
    wanted = check_digit(figures[:-1])
    if int(figures[-1]) != wanted:
        raise BadIdentifier(
            f"“{shorten(text)}” is not a valid article number: after {figures[:-1]} the last "
            f"figure is {wanted}, not {figures[-1]}. A figure was misread, or two changed places."
        )
    return figures.zfill(_STORED)


def _check_figures(text: str, figures: str) -> None:
    """Refuses what is no row of figures of a GTIN's length."""
    if not figures:
        raise BadIdentifier("Nothing to read: an article number of 8, 12, 13 or 14 figures.")
    wrong = next((sign for sign in figures if sign not in _FIGURES), None)
    if wrong is not None:
        raise BadIdentifier(
            f"“{shorten(text)}” is no article number: “{shorten(wrong)}” is not a figure."
        )
    if len(figures) not in _LENGTHS:
        raise BadIdentifier(
            f"“{shorten(text)}” has {len(figures)} figures: an article number has 8, 12, 13 or 14."
        )
    if not figures.strip("0"):
        raise BadIdentifier(f"“{shorten(text)}” is only noughts: no article has that number.")
