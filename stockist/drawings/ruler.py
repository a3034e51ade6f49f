"""Date codes on a ruler: every tyre in stock a mark over its week, the chosen set filled. Pure.

Distances are in the units of the drawing's own view box; x runs from 0 to ``WIDTH``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

WIDTH, MARGIN = 360.0, 22.0
BASE, BOTTOM, STEP, MOST_HIGH = 92.0, 116.0, 11.0, 6


@dataclass(frozen=True, slots=True)
class Dated:
    """So many tyres of one week, and how many of them belong to the chosen set."""

    day: date
    tyres: int
    chosen: int = 0


@dataclass(frozen=True, slots=True)
class Mark:
    """One tyre on the ruler: the corner of its block."""

    x: float
    y: float
    filled: bool


@dataclass(frozen=True, slots=True)
class Tick:
    x: float
    year: int


@dataclass(frozen=True, slots=True)
class Ruler:
    marks: tuple[Mark, ...]
    ticks: tuple[Tick, ...]
    more: tuple[tuple[float, int], ...]  # x, and how many tyres stand above the drawn ones
    top: float
    height: float
    words: str


def ruler(dated: Sequence[Dated], today: date) -> Ruler | None:
    """The ruler for some dated tyres, or None where there is none to draw.

    The scale runs from the first of January before the oldest to the end of this year or of the
    youngest; a pile higher than six is cut and its number said.
    """
    if not dated:
        return None
    days = sorted(item.day for item in dated)
    first = date(days[0].year, 1, 1)
    last = date(max(days[-1], today).year + 1, 1, 1)
    scale = (WIDTH - 2 * MARGIN) / (last - first).days

    def at(day: date) -> float:
        return round(MARGIN + (day - first).days * scale, 1)

    marks: list[Mark] = []
    more: list[tuple[float, int]] = []
    for item in sorted(dated, key=lambda one: one.day):
        shown = min(item.tyres, MOST_HIGH)
        for height in range(shown):
            top = BASE - 10 - height * STEP
            marks.append(Mark(round(at(item.day) - 3.2, 1), top, height < item.chosen))
        if item.tyres > shown:
            more.append((at(item.day), item.tyres - shown))
    years = range(first.year, last.year + 1)
    stride = 1 + len(years) // 8
    ticks = tuple(
        Tick(at(date(year, 1, 1)), year) for year in years if not (year - last.year) % stride
    )
    top = min(mark.y for mark in marks) - (16 if more else 4)
    return Ruler(tuple(marks), ticks, tuple(more), top, BOTTOM - top, in_words(dated))


def in_words(dated: Sequence[Dated]) -> str:
    """What the ruler shows, for who cannot see it."""
    tyres = sum(item.tyres for item in dated)
    chosen = sum(item.chosen for item in dated)
    days = sorted(item.day for item in dated)
    span = f"{days[0]:%B %Y}" + ("" if days[0] == days[-1] else f" to {days[-1]:%B %Y}")
    return f"{tyres} dated {'tyre' if tyres == 1 else 'tyres'} from {span}; {chosen} in this set"
