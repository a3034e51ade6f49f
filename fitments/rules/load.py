"""Rule 3, load: what each tyre of the axle must carry against what one tyre may, and at what
pressure. A pressure is only ever shown with its source; none is computed.
"""

from __future__ import annotations

from functools import lru_cache

from fitments.rules.capacity import Capacity, capacity
from fitments.rules.listed import governing, listed_as
from fitments.rules.measures import tyre_keys
from fitments.rules.values import Finding, Number, Outcome, Spot, StatedPressure, Terms, Tyre
from fitments.rules.voice import Findings, Voice
from fitments.rules.words import kg, needed_kg, plural
from inventory.markings.service import ServiceDescriptionError, load_capacity_kg

RULE = "load"
SAYS = Voice(RULE, "UN R30: load index, and load above 210, 240 and 270 km/h (2.33), from memory")
PRESSURE = SAYS.on("pressure", "a load index holds at its reference pressure: ETRTO, from memory")
MAKERS_TABLE = "the tyre maker's load table"


def judge_load(tyre: Tyre, spot: Spot, terms: Terms) -> Findings:
    can = capacity(tyre, spot)
    found = _strictest(_against_car(can, spot), _against_listing(can, tyre, spot))
    return (found,) if can.kg is None else (found, _pressure(can, tyre, spot))


def each_must_carry(spot: Spot) -> float | None:
    """What each tyre of the axle must carry, in kg; None where load or wheels are not known."""
    if spot.axle_load_kg is None or not spot.wheels or spot.wheels < 1:
        return None
    return float(spot.axle_load_kg) / spot.wheels


def _against_car(can: Capacity, spot: Spot) -> Finding | None:
    need = each_must_carry(spot)
    if need is None:
        return None
    must = _must(need, spot.wheels or 0, spot.axle_load_kg or 0)
    if can.kg is None:
        return SAYS.cannot_tell(
            f"What the tyre may carry is not known: {can.words}; {must}.", MAKERS_TABLE
        )
    if float(can.kg) < need:
        return SAYS.refuses(f"One tyre may carry {can.words}; {must}, which is more.")
    return SAYS.suits(f"One tyre may carry {can.words}; {must}.")


@lru_cache(maxsize=20_000)  # the loads of axles are few, and come with every tyre
def _must(need: float, wheels: int, axle_kg: Number) -> str:
    return (
        f"each of the axle's {plural(wheels, 'tyre')} must carry {needed_kg(need)} "
        f"({kg(axle_kg)} on the axle)"
    )


def _against_listing(can: Capacity, tyre: Tyre, spot: Spot) -> Finding | None:
    """Against the least load index that the listing asks for."""
    listing = governing(tyre, spot)
    least = listing.least_load_index if listing else None
    if least is None:
        return None
    if tyre.load_index is not None:
        return _index_against_listing(tyre.load_index, least)
    asked = _capacity_of(least)
    if asked is None:
        return None
    asks = _asks(least, asked)
    if can.kg is not None:
        enough, has = float(can.kg) >= float(asked), f"one tyre may carry {can.words}"
    else:
        words = f"What the tyre may carry is not known: {can.words}; {asks}."
        return SAYS.cannot_tell(words, MAKERS_TABLE)
    return _by_listing(enough, asks, has)


@lru_cache(maxsize=20_000)  # a few hundred pairs of indices in all
def _index_against_listing(index: int, least: int) -> Finding | None:
    asked = _capacity_of(least)
    if asked is None:
        return None
    return _by_listing(index >= least, _asks(least, asked), f"the tyre has {index}")


def _capacity_of(least: int) -> Number | None:
    try:
        return load_capacity_kg(least)
    except ServiceDescriptionError:
        return None


def _asks(least: int, asked: Number) -> str:
    return f"the car's listing asks for load index {least} ({kg(asked)}) at least"


def _by_listing(enough: bool, asks: str, has: str) -> Finding:
    if not enough:
        return SAYS.refuses(f"The tyre carries too little: {asks}, and {has}.")
    return SAYS.suits(f"As to the listing, {asks}, and {has}.")


def _strictest(by_car: Finding | None, by_listing: Finding | None) -> Finding:
    """Both must hold. Without the axle load the listing alone gives no better than a caution."""
    if by_car and by_listing:
        return by_listing if by_listing.outcome > by_car.outcome else by_car
    if by_car:
        return by_car
    look_at = "the axle load, on the car's plate or in its handbook"
    if by_listing is None:
        return SAYS.cannot_tell("What each tyre of the axle must carry is not known.", look_at)
    if by_listing.outcome is not Outcome.SUITS:
        return by_listing
    return SAYS.warns(f"{by_listing.words[:-1]}; the axle load itself is not known.", look_at)


def _pressure(can: Capacity, tyre: Tyre, spot: Spot) -> Finding:
    keys = tyre_keys(tyre)
    mine = [each for each in spot.pressures if not each.keys or not keys.isdisjoint(each.keys)]
    if not mine:
        others = sorted({each.size for each in spot.pressures if each.size})
        only = f" (stated only for {', '.join(others)})" if others else ""
        return PRESSURE.warns(
            f"The pressure to be run is not known{only}; a load holds only at its pressure.",
            "the pressure in the car's handbook, and the tyre maker's load table",
        )
    return _at_pressure(can, max(mine, key=lambda each: each.kpa), tyre, spot)


def _at_pressure(can: Capacity, run: StatedPressure, tyre: Tyre, spot: Spot) -> Finding:
    when = f" ({run.when})" if run.when else ""
    states = f"{run.kpa} kPa{when} is stated for this axle ({run.source})"
    if can.at_kpa is None:
        return PRESSURE.warns(
            f"{states}; at what pressure the maker's load holds is not on record.", MAKERS_TABLE
        )
    holds = f"the load holds at {'' if can.stated else 'about '}{can.at_kpa} kPa"
    if run.kpa >= can.at_kpa:
        return PRESSURE.suits(f"{states}; {holds}.")
    if run.keys and not can.stated and listed_as(tyre, spot).sure:
        return PRESSURE.suits(f"{states}, for this very size; {holds}.")
    return PRESSURE.warns(
        f"{states}; {holds}: ask the tyre's maker what it carries at {run.kpa} kPa.", MAKERS_TABLE
    )
