"""What a scan was read as."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from inventory.markings.errors import UnreadableMarking

SEPARATOR = "\x1d"
"""GS, the group separator: how a scanner sends a symbol's FNC1."""

Elements = tuple[tuple[str, str], ...]
"""Application identifiers with their data, in the order in which they were read."""


class Form(StrEnum):
    """How the text was built."""

    ELEMENTS = "a GS1 element string"
    BRACKETS = "GS1 data in brackets"
    LINK = "a GS1 Digital Link"
    GTIN = "an article number"
    CODE = "a code"


class UnreadableScan(UnreadableMarking):
    """A scan that cannot be what it says it is: where reading stopped, and what was expected."""


@dataclass(frozen=True, slots=True)
class Scan:
    """What one scan says.

    ``text`` is what came, without the symbology identifier in ``prefix`` (``]d2``, or empty).
    ``elements`` are the GS1 data. A text that has no prefix and could be either is an element
    string as well as a code: ``code`` is then the whole text, and whoever knows the codes decides.
    ``code`` is empty where the text cannot be a code. ``doubt`` says, of a row of figures as long
    as an article number, why it is none; it may still be a code.
    """

    text: str
    form: Form
    prefix: str = ""
    elements: Elements = ()
    code: str = ""
    gtin: str = ""
    lots: tuple[str, ...] = ()
    doubt: str = ""

    @property
    def lot(self) -> str:
        """The maker's or our own lot, AI 10; ``lots`` has the shorter readings behind it."""
        return self.lots[0] if self.lots else ""

    @property
    def own(self) -> str:
        """A code of the house, AI 91."""
        return self.value_of("91")

    @property
    def serial(self) -> str:
        """A serial number, AI 21."""
        return self.value_of("21")

    def value_of(self, identifier: str) -> str:
        """The data of one application identifier, empty where it was not there."""
        return next((data for name, data in self.elements if name == identifier), "")
