"""Loads: what a load index stands for, and what is left of it near a tyre's top speed."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from functools import cache
from itertools import pairwise

from inventory.markings.service.speed import ServiceDescriptionError, TopSpeed, top_speed
from inventory.markings.tables import rows
from inventory.markings.units import Measured, to_kmh

__all__ = [
    "ServiceDescriptionError",
    "TooFast",
    "UnknownLoadIndex",
    "load_at_speed",
    "load_capacity_kg",
]


class UnknownLoadIndex(ServiceDescriptionError):
    """A load index outside the table, 0 to 150."""


class TooFast(ServiceDescriptionError):
    """A speed above the top speed of the symbol: no load may be given for it."""


def load_capacity_kg(index: int) -> int | Decimal:
    """The mass in kg that a load index stands for, exact: 91 is 615, 1 is 46.2.

    It holds at the reference pressure, up to 210 km/h (V), 240 (W) or 270 (Y). UN R30 Annex 4 and
    R54 Annex 4, from memory; 60 to 119 compared with a second table. Raises UnknownLoadIndex.
    """
    table = _capacities()
    if isinstance(index, bool) or not isinstance(index, int) or index not in table:
        raise UnknownLoadIndex(
            f"{str(index)[:20]} is no load index: the table runs from 0 to {max(table)}. "
            "A ply rating or a mass in kg is not a load index."
        )
    return table[index]


def load_at_speed(index: int, symbol: str, speed_kmh: Measured) -> int | None:
    """The load in whole kg, rounded down, that one tyre may carry at a speed.

    ``speed_kmh`` is a number of km/h, a text such as "130 mph", or a pint speed. Up to H a tyre
    carries its full load at any speed up to its top speed; V, W and Y carry less towards theirs,
    by the published table, straight lines between its rows (UN R30 2.33, from memory). None where
    the symbol is open-ended and the speed is above what it promises: the maker must say. Raises
    TooFast above the symbol's top speed, UnknownLoadIndex, UnknownSpeedSymbol, WrongUnit.
    """
    full = Fraction(load_capacity_kg(index))
    speed = to_kmh(speed_kmh)
    limit = top_speed(symbol)
    within = limit.reaches(speed)
    if within is None:
        return None
    if not within:
        raise TooFast(_too_fast(symbol, limit, speed))
    return int(full * _percent(symbol.strip().upper(), Fraction(str(speed))) / 100)


def _percent(symbol: str, speed: Fraction) -> Fraction:
    """The part of the load index left at ``speed``; 100 for a symbol without a table."""
    points = _reductions().get(symbol.strip("()"), ())
    if not points or speed <= points[0][0]:
        return Fraction(100)
    for (slower, before), (faster, after) in pairwise(points):
        if speed <= faster:
            return before + (after - before) * (speed - slower) / (faster - slower)
    return points[-1][1]


def _too_fast(symbol: str, limit: TopSpeed, speed: float) -> str:
    return (
        f"A tyre marked {symbol.strip().upper()} may run at {limit.kmh} km/h at most; "
        f"at {speed:g} km/h it may carry nothing."
    )


@cache
def _capacities() -> dict[int, int | Decimal]:
    masses = ((int(row["index"]), Decimal(row["kg"])) for row in rows("load_index"))
    return {index: int(kg) if kg == int(kg) else kg for index, kg in masses}


@cache
def _reductions() -> dict[str, tuple[tuple[Fraction, Fraction], ...]]:
    table: dict[str, list[tuple[Fraction, Fraction]]] = {}
    for row in rows("speed_load"):
        point = Fraction(row["kmh"]), Fraction(row["percent"])
        table.setdefault(row["symbol"], []).append(point)
    return {symbol: tuple(points) for symbol, points in table.items()}
