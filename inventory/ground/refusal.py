"""Refusals: the anticipated ways in which something asked for is not done.

Each is a subclass of `Refusal` beside the function that raises it, and carries the sentence that
the person reads: what is wrong, where, and what to do.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import ClassVar


class Refusal(Exception):
    """Something was asked for that is not done, and nothing was changed.

    `sentence` is what the person reads. `code` is what a program reads: it follows from the name
    of the class (`PlaceIsFull` is `place-is-full`) unless the class sets one. `field` names the
    input that is at fault, if one is. `status` is the HTTP status over the API.
    """

    code: ClassVar[str] = "refused"
    status: ClassVar[int] = 409
    sentence: str = "This was refused, and nothing was changed."

    def __init_subclass__(cls, **kwargs: object) -> None:
        super().__init_subclass__(**kwargs)
        if "code" not in vars(cls):
            cls.code = re.sub(r"(?<=[a-z0-9])(?=[A-Z])", "-", cls.__name__).lower()

    def __init__(self, sentence: str | None = None, *, field: str | None = None) -> None:
        self.sentence = sentence or self.sentence
        self.field = field
        super().__init__(self.sentence)

    def __str__(self) -> str:
        return self.sentence

    @property
    def at_fault(self) -> Sequence[tuple[str, str]]:
        """The inputs at fault, each with what is wrong with it."""
        return [(self.field, self.sentence)] if self.field else []


class StaleVersion(Refusal):
    """What was to be changed has been changed by somebody else since it was looked at."""

    status = 412
    sentence = (
        "Somebody else has changed this since you opened it. Nothing was changed: "
        "open it again, look at what is new, and repeat what is still wanted."
    )


class Busy(Refusal):
    """Others were booking the same things at the same moment, again and again."""

    status = 503
    sentence = (
        "Others were booking the same stock at the same moment. "
        "Nothing was changed: please send it again."
    )
