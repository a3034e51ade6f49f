"""``read_size``: every family is tried, and the decision between readings is explicit.

The ranges in the families are set so that a text has one reading, or is one of the forms that
are open by nature (155-15, 6.5-13, 30x3½), whose family lists the candidates. Should two
families read a text all the same, the earlier in ``FAMILIES`` leads and all are candidates.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from inventory.markings.errors import UnreadableMarking
from inventory.markings.size import (
    bead_pair,
    competition_cm,
    competition_in,
    competition_mm,
    dual,
    flotation,
    inch,
    inch_series,
    letter,
    metric_dash,
    metric_plain,
    metric_profile,
    millimetre_rim,
)
from inventory.markings.size.grammar import Family, Miss
from inventory.markings.size.model import Size
from inventory.markings.size.nearest import nearest
from inventory.markings.size.tail import read_tail, with_tail
from inventory.markings.size.text import MAX_LENGTH, plain

FAMILIES: tuple[Family, ...] = (
    metric_profile.FAMILY,
    metric_plain.FAMILY,
    metric_dash.FAMILY,
    inch.FAMILY,
    *inch_series.FAMILIES,
    millimetre_rim.FAMILY,
    letter.FAMILY,
    competition_in.FAMILY,
    competition_cm.FAMILY,
    competition_mm.FAMILY,
    *dual.FAMILIES,
    flotation.FAMILY,
    *bead_pair.FAMILIES,
)

NOTHING_EXPECTED = "a tyre size such as 185/70 R 15 or 5.60-15"


def read_size(text: str) -> Size:
    """The size that a text says, however it is typed.

    Open forms keep open what they do not say and list ``candidates``; a dual designation gives
    its first half and lists the other under ``alternatives``. Raises ``UnreadableMarking`` with
    the position, what was expected there, and a near valid reading where one exists.
    Sources: the designations of UN R30 and UN R54; historic forms by common practice.
    """
    return _read(text) if len(text) <= MAX_LENGTH else _reread(text)


def _reread(text: str) -> Size:
    typed = plain(text)
    if readings := readings_of(typed.text):
        return _decide(readings)
    stop = furthest(typed.text)
    near = nearest(typed.text, stop, _canonical)
    raise UnreadableMarking(text, typed.place(stop.position), stop.expected, near)


_read = lru_cache(maxsize=4096)(_reread)


def readings_of(plain_text: str) -> list[Size]:
    """All readings of a text made plain, one for each family that has one."""
    found = (_by_family(family, plain_text) for family in FAMILIES)
    return [size for size in found if isinstance(size, Size)]


def furthest(plain_text: str) -> Miss:
    """Where the family whose shape fits most of the text stopped; the earlier one of equals."""
    if not any(c.isdigit() for c in plain_text):
        return Miss(0, NOTHING_EXPECTED)
    stops = []
    for family in FAMILIES:
        got = _by_family(family, plain_text)
        if isinstance(got, Miss):  # all parts are there, and one of them cannot be meant
            stops.append((got.extent, 0, got))
        elif family.guides:
            reached = family.grammar.reach(plain_text)
            stops.append((reached.extent, 1, reached))
    return max(stops, key=lambda stop: stop[:2])[2]


def _by_family(family: Family, plain_text: str) -> Size | Miss | None:
    match = family.grammar.match(plain_text)
    if match is None:
        return None
    size = family.build(match)
    if isinstance(size, Miss):
        return size
    tail = read_tail(plain_text, match.end())
    if isinstance(tail, Miss):
        return replace(tail, extent=tail.position, size_end=match.end())
    return with_tail(size, tail)


def _canonical(plain_text: str) -> str | None:
    """The canonical form of the first reading of a text made plain; None where it has none."""
    readings = readings_of(plain_text)
    return readings[0].canonical if readings else None


def _decide(readings: list[Size]) -> Size:
    first, *others = readings
    if not others:
        return first
    every = tuple(r for size in readings for r in (size.candidates or (size,)))
    return replace(first, candidates=every)
