"""What a scanner makes of a known symbol: which of its settings are right, and which are not."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass

from inventory.markings.scans.values import SEPARATOR

TEST_ELEMENTS = (("01", "09520123456788"), ("10", "Y7-zA_+/?"), ("21", "Test=1"))
"""The data of the test symbol. They show swapped letters, small and capital ones, and signs that
lie elsewhere on other keyboards. The article number is the example of GS1's own documents."""

_WANTED = "010952012345678810Y7-zA_+/?", "21Test=1"
_SIGNS = {" ": "blank", SEPARATOR: "separator (GS)", "\t": "tab", "\r": "return", "\n": "new line"}


@dataclass(frozen=True, slots=True)
class Told:
    """One thing that was looked at: whether it is as wanted, and what to set if it is not."""

    right: bool
    what: str
    words: str


def names_of(text: str) -> list[str]:
    """Each sign of a text by name: itself, if it can be seen."""
    return [_SIGNS.get(c) or (c if c.isprintable() else f"U+{ord(c):04X}") for c in text]


def what_arrived(text: str) -> list[Told]:
    """What to think of the test symbol as it arrived: prefix, separator, letters and signs."""
    prefix, body = (text[:3], text[3:]) if text.startswith("]") else ("", text)
    return [_prefix(prefix, text), _separator(body), _signs(body)]


def _prefix(prefix: str, text: str) -> Told:
    if prefix == "]d2":
        return Told(True, "prefix", "]d2 arrived: the symbol says that it holds GS1 data.")
    if prefix:
        return Told(False, "prefix", f"{prefix} arrived, and ]d2 is wanted: another symbol?")
    if text[1:3] == "d2":
        return Told(False, "prefix", f"{text[0]} arrived for ]: set the scanner's keyboard layout.")
    return Told(True, "prefix", "None arrived. It works so; the scanner may be set to send it.")


def _separator(body: str) -> Told:
    first, second = _WANTED
    for sign in (SEPARATOR, "^]", "\N{SYMBOL FOR GROUP SEPARATOR}", "<GS>", "{GS}"):
        if f"{sign}{second}".casefold() in body.casefold():
            how = "as GS" if sign == SEPARATOR else f"as {sign}"
            return Told(True, "separator", f"It arrived {how}, between lot and serial number.")
    if f"{first}{second}".casefold() in body.casefold():
        return Told(
            False, "separator", "It was lost. Set the scanner to send GS (or FNC1) as Ctrl+]."
        )
    sign = next((c for c in body if not c.isalnum() and c not in "-_+/?="), "")
    shown = f"{names_of(sign)[0]} may stand for it" if sign else "it was not found"
    return Told(False, "separator", f"Not where it should be: {shown}. GS is wanted.")


def _signs(body: str) -> Told:
    plain = "".join(c for c in body.replace("^]", "") if c.isprintable() and c not in "␝")
    wanted = "".join(_WANTED)
    if plain == wanted:
        return Told(True, "letters and signs", "All as printed.")
    if plain == wanted.swapcase():
        return Told(False, "letters and signs", "Small for capital letters: is Caps Lock on?")
    if plain.casefold() == wanted.casefold():
        words = "Small and capital letters are not kept: set the scanner to leave them alone."
        return Told(False, "letters and signs", words)
    turned = str.maketrans("YZyz", "ZYzy")
    if plain[:20].translate(turned)[18:] == wanted[18:20] or plain.translate(turned) == wanted:
        return Told(False, "letters and signs", "Y and Z are changed: set its keyboard layout.")
    place = next((n for n, (a, b) in enumerate(zip(plain, wanted, strict=False)) if a != b), None)
    if place is None:
        return Told(False, "letters and signs", "Something is missing at the end: scan it again.")
    came = unicodedata.name(plain[place], plain[place]).lower()
    words = f"{came} came for {wanted[place]}: set the scanner to this computer's keyboard layout."
    return Told(False, "letters and signs", words)
