"""Model fields for text that people type or scan: no control characters, no blanks at the ends.

Control characters do harm later: a spreadsheet cannot hold them, a label prints nothing for them,
and a scanner's separator pasted into a name makes two rows of one.
"""

from __future__ import annotations

import unicodedata
from typing import TYPE_CHECKING, Any

from django.core.exceptions import ValidationError
from django.core.validators import MaxLengthValidator
from django.db import models

if TYPE_CHECKING:  # Django's fields take type parameters for the type checker only
    CharField = models.CharField[str, str]
    TextField = models.TextField[str, str]
else:
    CharField, TextField = models.CharField, models.TextField

KEPT_IN_WORDS = frozenset("\n\r\t")


def refuse_controls(text: str, kept: frozenset[str] = frozenset()) -> None:
    """Refuse C0 and C1 controls, and marks that turn the direction of text, naming the place.

    Raises ``ValidationError`` with a sentence; ``kept`` are the controls that are wanted.
    """
    for place, sign in enumerate(text, start=1):
        if unicodedata.category(sign) in {"Cc", "Cf", "Cs"} and sign not in kept:
            raise ValidationError(
                "Sign %(place)s of this text is a control character (U+%(point)s): take it out.",
                code="control_character",
                params={"place": place, "point": f"{ord(sign):04X}"},
            )


def one_line(text: str) -> None:
    """Validator: no control characters at all."""
    refuse_controls(text)


def some_words(text: str) -> None:
    """Validator: no control characters but tabs and ends of lines."""
    refuse_controls(text, KEPT_IN_WORDS)


class Line(CharField):
    """One line of text; 120 signs unless told."""

    default_validators = [one_line]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("max_length", 120)
        super().__init__(*args, **kwargs)


class Words(TextField):
    """A few sentences; 4,000 signs at the most unless told."""

    default_validators = [some_words]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("max_length", 4000)
        super().__init__(*args, **kwargs)
        # Django leaves the length of a text field to its form.
        self.validators.append(MaxLengthValidator(self.max_length))
