"""Stock in time against what may be asked for, week by week, with the season under it. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

WIDTH, TOP, BASE, LEFT, RIGHT = 560.0, 16.0, 176.0, 40.0, 552.0
UNDER, HIGH = 244.0, 44.0  # the foot of the bars of weekly demand, and how high they may be
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


@dataclass(frozen=True, slots=True)
class Tick:
    x: float
    words: str


@dataclass(frozen=True, slots=True)
class Bar:
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Row:
    """One week as the table tells it; ``left`` is stock less what is expected to be asked for."""

    day: date
    stock: int
    expected: float
    level: int
    left: float
    short: bool


@dataclass(frozen=True, slots=True)
class Course:
    """``stock`` and ``level`` are points of lines, ``bars`` the demand expected week by week."""

    stock: str
    level: str
    expected: str
    bars: tuple[Bar, ...]
    ticks: tuple[Tick, ...]
    marks: tuple[Tick, ...]  # pieces, at the left; x is the height here
    rows: tuple[Row, ...]
    words: str


def course(told: Mapping[str, Any], since: date) -> Course | None:
    """The picture of a course as it is kept with an alert, or None where there is none."""
    days: Sequence[int] = told.get("days", ())
    if len(days) < 2:
        return None
    stock, expected, level = told["stock"], told["expected"], told["level"]
    most: int = max(*stock, *level, 1)

    def x(day: float) -> float:
        return float(round(LEFT + (RIGHT - LEFT) * day / days[-1], 1))

    def y(pieces: float) -> float:
        return float(round(BASE - (BASE - TOP) * max(pieces, 0) / most, 1))

    rows = tuple(
        Row(since + timedelta(days=d), s, e, n, round(s - e, 1), n > s)
        for d, s, e, n in zip(days, stock, expected, level, strict=True)
    )
    return Course(
        _steps([(x(d), y(s)) for d, s in zip(days, stock, strict=True)]),
        _line([(x(d), y(n)) for d, n in zip(days, level, strict=True)]),
        _line([(x(d), y(n)) for d, n in zip(days, expected, strict=True)]),
        tuple(_bars(days, expected, x)),
        tuple(_ticks(since, days[-1], x)),
        tuple(Tick(y(n), str(n)) for n in sorted({0, most // 2, most})),
        rows,
        _words(rows),
    )


def _line(points: Sequence[tuple[float, float]]) -> str:
    return " ".join(f"{x},{y}" for x, y in points)


def _steps(points: Sequence[tuple[float, float]]) -> str:
    """Stock stays until the week in which something comes."""
    found = [points[0]]
    for (_, before), (x, y) in pairwise(points):
        found += [(x, before), (x, y)]
    return _line(found)


def _bars(days: Sequence[int], expected: Sequence[float], x: Any) -> list[Bar]:
    weekly = [after - before for before, after in pairwise(expected)]
    most = max([*weekly, 1e-9])
    found = []
    for (first, last), demand in zip(pairwise(days), weekly, strict=True):
        high = round(HIGH * demand / most, 1)
        found.append(
            Bar(x(first) + 1, round(UNDER - high, 1), round(x(last) - x(first) - 2, 1), high)
        )
    return found


def _ticks(since: date, days: int, x: Any) -> list[Tick]:
    """The first of each month."""
    found = []
    for day in range(1, days + 1):
        on = since + timedelta(days=day)
        if on.day == 1:
            found.append(Tick(x(day), _MONTHS[on.month - 1]))
    return found


def _words(rows: Sequence[Row]) -> str:
    short = next((row for row in rows if row.short), None)
    last = rows[-1]
    told = f"Stock in time, week by week until {last.day:%d.%m.%Y}: {rows[0].stock} now"
    if short is None:
        return f"{told}, and enough throughout."
    return f"{told}; fewer than are enough from about {short.day:%d.%m.%Y}."
