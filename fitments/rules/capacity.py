"""What one tyre may carry here: by its load index and symbol at the car's speed, or as stated."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from fitments.rules.reach import service_symbol, symbol_speed
from fitments.rules.values import Number, Spot, Tyre
from fitments.rules.words import kg, number
from inventory.markings import Size
from inventory.markings.service import load_at_speed, load_capacity_kg

#: Up to this speed every symbol that reaches it carries its full load (UN R30 2.33, from memory).
FULL_LOAD_KMH = 210
#: Pressure at which a load index holds: ETRTO, from memory; 290 kPa for reinforced tyres.
REFERENCE_KPA, REINFORCED_KPA = 250, 290
_REINFORCED = frozenset({"XL", "RF", "REINF", "REINFORCED", "EXTRA LOAD"})


@dataclass(frozen=True, slots=True)
class Capacity:
    """What the tyre may carry, in words too; ``kg`` None where nothing tells.

    ``at_kpa`` is the pressure at which that holds, None where it is not on record; ``stated`` that
    it is the maker's own figure.
    """

    kg: Number | None
    words: str
    at_kpa: int | None = None
    stated: bool = False


def capacity(tyre: Tyre, spot: Spot) -> Capacity:
    """The lesser of what the load index and what the maker's statement allow."""
    found = [each for each in (_by_index(tyre, spot), _stated(tyre)) if each]
    known = [each for each in found if each.kg is not None]
    if known:
        return min(known, key=lambda each: float(each.kg or 0))
    if found:
        return found[0]
    if tyre.ply:
        return Capacity(None, f"it has a ply rating ({tyre.ply} PR) and no load index")
    return Capacity(None, "it has no load index, and its maker's load is not on record")


def _stated(tyre: Tyre) -> Capacity | None:
    return None if tyre.load_kg is None else _says(tyre.load_kg, tyre.load_pressure_kpa)


@lru_cache(maxsize=4096, typed=True)
def _says(load_kg: Number, pressure_kpa: int | None) -> Capacity:
    at = f" at {pressure_kpa} kPa" if pressure_kpa else ""
    return Capacity(load_kg, f"{kg(load_kg)}{at} by its maker's statement", pressure_kpa, True)


def _by_index(tyre: Tyre, spot: Spot) -> Capacity | None:
    twin = (spot.wheels or 0) > 2
    index = tyre.load_index_dual if twin else tyre.load_index
    if index is None:
        alone = twin and tyre.load_index is not None
        return Capacity(None, "it has no load index for twin wheels") if alone else None
    return _indexed(index, tyre.size, tyre.speed, spot.top_speed_kmh)


@lru_cache(maxsize=20_000, typed=True)  # the speeds of cars are few, and come with every tyre
def _indexed(index: int, size: Size | None, speed: str, car_kmh: int | None) -> Capacity:
    """By the index of a tyre of this size and symbol, on a car of this top speed."""
    tyre = Tyre(code="", size=size, speed=speed)
    try:
        carries, at = _at_speed(index, tyre, car_kmh)
    except ValueError:
        return Capacity(None, f"its load index {index} is not in the table")
    if carries is None:
        return Capacity(None, f"what load index {index} leaves {at} only its maker can say")
    words = f"{kg(carries)} {at} (load index {index}{service_symbol(tyre)})"
    return Capacity(carries, words, _reference_kpa(tyre))


def _at_speed(index: int, tyre: Tyre, car_kmh: int | None) -> tuple[Number | None, str]:
    """What the index leaves, and at which speed; None where only the maker can say.

    A car faster than the tyre is for the rule of speed to refuse; here the tyre is taken at its
    own top speed. Where the car's top speed is not known, at the tyre's own too: the least it
    carries anywhere.
    """
    limit = symbol_speed(tyre)
    if limit.kmh is not None:
        speed = limit.kmh if car_kmh is None else min(car_kmh, limit.kmh)
        at = f"at {number(speed)} km/h"
        if symbol := service_symbol(tyre):
            return load_at_speed(index, symbol, speed), at
        return load_capacity_kg(index), at  # S or H inside a radial size: full up to 210
    if car_kmh is None:
        return None, "at the car's top speed"
    at = f"at {number(car_kmh)} km/h"
    if limit.known and (symbol := service_symbol(tyre)):
        return load_at_speed(index, symbol, car_kmh), at
    return (load_capacity_kg(index) if car_kmh <= FULL_LOAD_KMH else None), at


def _reference_kpa(tyre: Tyre) -> int:
    suffixes = tyre.size.suffixes if tyre.size else ()
    return REINFORCED_KPA if _REINFORCED & set(suffixes) else REFERENCE_KPA
