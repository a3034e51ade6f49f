"""GS1 element strings, as a scanner sends them and as people read them, in brackets."""

from __future__ import annotations

import re

from inventory.markings.scans.identifiers import KNOWN, NO_SEPARATOR, Identifier, identifier_at
from inventory.markings.scans.values import SEPARATOR, Elements, UnreadableScan

_BRACKET = re.compile(r"\((\d{2,4})\)")
_AN_IDENTIFIER = "an application identifier such as 01, 10 or 91"


def elements_of(text: str) -> Elements:
    """The elements of a string without brackets. Raises UnreadableScan.

    A separator ends the data before it, where one is needed; one that was lost is not missed
    until the data are longer than they may be. Separators at the ends and behind data of a fixed
    length are read over.
    """
    place = 0
    found: list[tuple[str, str]] = []
    while place < len(text):
        if text[place] == SEPARATOR:
            place += 1
            continue
        identifier = identifier_at(text, place)
        if identifier is None:
            raise UnreadableScan(text, place, _AN_IDENTIFIER)
        begins = place + len(identifier.name)
        ends = text.find(SEPARATOR, begins)
        ends = len(text) if ends < 0 else ends
        if identifier.name[:2] in NO_SEPARATOR:
            ends = min(ends, begins + identifier.most)
        _take(found, identifier, text, begins, ends)
        place = ends
    return _once(text, found)


def bracketed(text: str) -> Elements:
    """The elements of a string with each identifier in brackets. Raises UnreadableScan.

    Brackets within the data are data unless they hold a known identifier.
    """
    heads = [head for head in _BRACKET.finditer(text) if head[1] in KNOWN]
    if not heads or heads[0].start() != 0:
        raise UnreadableScan(text, 0, f"{_AN_IDENTIFIER} in brackets")
    found: list[tuple[str, str]] = []
    for number, head in enumerate(heads):
        last = number + 1 == len(heads)
        ends = len(text) if last else heads[number + 1].start()
        _take(found, KNOWN[head[1]], text, head.end(), ends)
    return _once(text, found)


def lots_of(text: str, elements: Elements) -> tuple[str, ...]:
    """The lot, and behind it what it is if a separator was lost within: the longest first."""
    lot = next((data for name, data in elements if name == "10"), "")
    if not lot:
        return ()
    shorter = [lot[:n] for n in range(len(lot) - 1, 0, -1) if _reads(lot[n:])]
    return (lot, *shorter) if SEPARATOR not in text else (lot,)


def _reads(text: str) -> bool:
    try:
        elements_of(text)
    except UnreadableScan:
        return False
    return True


def _take(
    found: list[tuple[str, str]], identifier: Identifier, text: str, begins: int, ends: int
) -> None:
    data = text[begins:ends]
    fault = identifier.fault(data)
    if fault is not None:
        raise UnreadableScan(text, begins + fault[0], fault[1])
    found.append((identifier.name, data))


def _once(text: str, found: list[tuple[str, str]]) -> Elements:
    """Each identifier once; the same said twice is the same."""
    said: dict[str, str] = {}
    for name, data in found:
        if said.setdefault(name, data) != data:
            raise UnreadableScan(text, text.rfind(data), f"({name}) once, with one value,")
    if not said:
        raise UnreadableScan(text, 0, _AN_IDENTIFIER)
    return tuple(said.items())
