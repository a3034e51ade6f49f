"""Units at the public edge: a number, a text such as "98 mph", or a pint quantity, into a number.

A bare number is taken to be in the native unit already (km/h, mm, kg, kPa). A text must name its
unit unless it is a bare number. A pint quantity is converted, from whichever registry it comes.
Every result is a plain float, rounded to nine decimals so that a conversion that ought to be exact
(200/3 m/s is 240 km/h) is not put over a limit by the last bit of a float.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache
from typing import TYPE_CHECKING, Any, TypeAlias

if TYPE_CHECKING:
    import pint

__all__ = ["Measured", "WrongUnit", "to_inches", "to_kg", "to_kmh", "to_kpa", "to_mm", "ureg"]

Measured: TypeAlias = "int | float | Decimal | str | pint.Quantity[Any]"

_TEXT = re.compile(r"\s*([+-]?[0-9]+(?:\.[0-9]+)?)\s*([A-Za-z/\"″0-9]*)\s*", re.ASCII)
_LONGEST = 40


class WrongUnit(ValueError):
    """A measurement that is no number, or stands in a unit of another kind; says what to write."""


@cache
def _registry() -> pint.UnitRegistry[Any]:
    import pint  # half a second: only where a unit is really named

    return pint.UnitRegistry()


class _Registry:
    """The one pint registry of the house, made when it is first used."""

    def __getattr__(self, name: str) -> Any:
        return getattr(_registry(), name)

    def __call__(self, text: str) -> Any:
        return _registry()(text)


ureg = _Registry()


@dataclass(frozen=True)
class _Kind:
    """What is measured: its name in a sentence, its native unit, and the unit words people type."""

    name: str
    native: str
    example: str
    words: dict[str, str]


_SPEED = _Kind(
    "a speed",
    "km/h",
    "98 mph",
    {"km/h": "km/h", "kmh": "km/h", "kph": "km/h", "mph": "mph", "mi/h": "mph", "m/s": "m/s"},
)
_LENGTH = _Kind(
    "a length",
    "mm",
    "24.5 in",
    {"mm": "mm", "cm": "cm", "m": "m", "in": "in", "inch": "in", "inches": "in", '"': "in"}
    | {"″": "in", "ft": "ft"},
)
# Rim widths are marked in inches everywhere, so inches are the unit of their columns.
_RIM_WIDTH = replace(_LENGTH, native="in", example="140 mm")
_MASS = _Kind("a mass", "kg", "1100 lb", {"kg": "kg", "lb": "lb", "lbs": "lb", "t": "t"})
_PRESSURE = _Kind(
    "a pressure",
    "kPa",
    "2.1 bar",
    {"kpa": "kPa", "bar": "bar", "psi": "psi", "lb/in2": "psi", "lbf/in2": "psi"},
)
_KINDS = (_SPEED, _LENGTH, _MASS, _PRESSURE)


def to_kmh(value: Measured) -> float:
    """A speed in km/h; raises WrongUnit."""
    return _to(value, _SPEED)


def to_mm(value: Measured) -> float:
    """A length in mm; raises WrongUnit."""
    return _to(value, _LENGTH)


def to_inches(value: Measured) -> float:
    """A rim width in inches: a bare number is one already; raises WrongUnit."""
    return _to(value, _RIM_WIDTH)


def to_kg(value: Measured) -> float:
    """A mass in kg; raises WrongUnit."""
    return _to(value, _MASS)


def to_kpa(value: Measured) -> float:
    """A gauge pressure in kPa; raises WrongUnit."""
    return _to(value, _PRESSURE)


def _to(value: Measured, kind: _Kind) -> float:
    if isinstance(value, bool):
        raise WrongUnit(f"{value} is not {kind.name}: write a number, such as {kind.example!r}.")
    if isinstance(value, int | float | Decimal):
        number = _plain(value, kind)
    elif isinstance(value, str):
        number = _from_text(value, kind)
    else:
        number = _from_quantity(value, kind)
    if not math.isfinite(number) or number < 0:
        raise WrongUnit(f"{kind.name.capitalize()} cannot be {number:g} {kind.native}.")
    return round(number, 9)


def _plain(value: int | float | Decimal, kind: _Kind) -> float:
    try:
        return float(value)
    except OverflowError:
        raise WrongUnit(f"That number is too large to be {kind.name}.") from None


def _from_text(text: str, kind: _Kind) -> float:
    match = _TEXT.fullmatch(text) if len(text) <= _LONGEST else None
    if match is None:
        raise WrongUnit(
            f"{_short(text)} is not {kind.name}: write a number with its unit, such as "
            f"{kind.example!r}, with a dot and no thousands mark."
        )
    number, word = float(match[1]), match[2].lower()
    if not word:
        return number
    unit = kind.words.get(word)
    if not unit:
        raise WrongUnit(_other_unit(text, match[2], kind))
    return number if unit == kind.native else _from_quantity(ureg.Quantity(number, unit), kind)


def _from_quantity(value: Any, kind: _Kind) -> float:
    import pint

    if not isinstance(value, pint.Quantity):
        raise WrongUnit(
            f"{kind.name.capitalize()} is wanted, as a number of {kind.native} or a text such as "
            f"{kind.example!r}, not {type(value).__name__}."
        )
    try:
        return float(value.to(kind.native).magnitude)
    except (pint.DimensionalityError, pint.OffsetUnitCalculusError):
        raise WrongUnit(
            f"{value.units:~} is no unit of {kind.name[2:]}: give {kind.name}, such as "
            f"{kind.example!r}."
        ) from None


def _other_unit(text: str, word: str, kind: _Kind) -> str:
    known = ", ".join(sorted({unit for unit in kind.words.values() if unit}))
    for other in _KINDS:
        if other.words.get(word.lower()):
            return f"{_short(text)} is {other.name}; {kind.name} is wanted here ({known})."
    return f"{word} is not a unit known here for {kind.name}: write one of {known}."


def _short(text: str) -> str:
    return repr(text if len(text) <= _LONGEST else text[: _LONGEST - 1] + "…")
