"""Numbers, days and lists as they are read aloud."""

from __future__ import annotations

import calendar
from collections.abc import Iterable
from datetime import date
from functools import lru_cache
from math import ceil

from fitments.rules.values import DaySpan, Number
from inventory.markings.size.model import BELTED, BIAS, RADIAL

CONSTRUCTIONS = {RADIAL: "radial", BIAS: "cross-ply", BELTED: "belted cross-ply"}


def number(value: Number, places: int = 1) -> str:
    """A number without needless noughts: 475, 646.5, 5.25."""
    text = f"{float(value):.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def kg(value: Number) -> str:
    return f"{number(value)} kg"


def needed_kg(value: Number) -> str:
    """A load that must be carried, rounded up, so that the sentence never asks for too little."""
    return f"{ceil(round(float(value), 6))} kg"


def mm(value: Number) -> str:
    return f"{number(value)} mm"


def inches(value: Number) -> str:
    return f"{number(value, 2)} in"


def percent(value: float) -> str:
    """A difference with its sign: +1.3 %, −0.62 %; 0 % where it rounds to nothing."""
    text = number(abs(value), 2)
    return "0 %" if text == "0" else f"{'+' if value > 0 else '−'}{text} %"


@lru_cache(maxsize=4096)
def day(when: date) -> str:
    return f"{when.day} {calendar.month_name[when.month]} {when.year}"


def span(days: DaySpan) -> str:
    """``on 1 March 1964``, ``from … to …``, ``from … on``, ``up to …``, ``at any time``."""
    if days.first is None and days.last is None:
        return "at any time"
    if days.first is None or days.last is None:
        return f"from {day(days.first)} on" if days.first else f"up to {day(days.end)}"
    if days.first == days.last:
        return f"on {day(days.first)}"
    return f"from {day(days.first)} to {day(days.last)}"


def months(count: int) -> str:
    """A limit as people say it: 6 years, 18 months, 1 month."""
    if count and count % 12 == 0:
        return plural(count // 12, "year")
    return plural(count, "month")


def plural(count: int, unit: str) -> str:
    return f"{count} {unit}{'' if count == 1 else 's'}"


def either(things: Iterable[str]) -> str:
    """``a``, ``a or b``, ``a, b or c``."""
    *before, last = list(things) or [""]
    return f"{', '.join(before)} or {last}" if before else last


def sentence(text: str) -> str:
    """The text with a capital first letter and a full stop at its end."""
    text = text.strip()
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "?", "!")) else ".")
