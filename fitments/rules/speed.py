"""Rule 4, speed: what the tyre may run against what the car reaches.

EU type approval wants the symbol to match the car's design speed, but for winter tyres of at least
160 km/h with a notice in the driver's view (EU 458/2011 4.1.1 and 4.2.2, quoted elsewhere). The GB
test does not fail a car for it (GB test manual 4.1, 2012); "unsuitable for the use" remains (SI
1986/1078 reg 27(1)(a), from memory).
"""

from __future__ import annotations

from fitments.rules.listed import governing
from fitments.rules.reach import Reach, reach
from fitments.rules.values import Finding, Market, Spot, Terms, Tyre, Use, Weather
from fitments.rules.voice import Findings, Voice
from fitments.rules.words import number
from inventory.markings.service import TopSpeed, UnknownSpeedSymbol, top_speed

RULE = "speed"
SAYS = Voice(
    RULE,
    "EU 458/2011 4.1.1 (quoted elsewhere); GB: SI 1986/1078 reg 27(1)(a), from memory; symbols: "
    "UN R30, from memory",
)
WINTER_SOURCE = "EU 458/2011 4.2.2, quoted elsewhere"
WINTER_KMH = 160
SIDEWALL = "the service description on the sidewall, and the tyre maker's data"


def judge_speed(tyre: Tyre, spot: Spot, terms: Terms) -> Findings:
    ours, least = reach(tyre), _least(tyre, spot)
    if spot.top_speed_kmh is None:
        return (_by_listing(ours, least, tyre, spot),)
    found = _against_car(ours, spot.top_speed_kmh, tyre, terms, least)
    if least is None or ours.is_at_least(least[1]) is not False:
        return (found,)
    return (_too_low_for_listing(ours, *least),)


def _least(tyre: Tyre, spot: Spot) -> tuple[str, TopSpeed] | None:
    """The symbol that the listing asks for at least."""
    listing = governing(tyre, spot)
    if listing is None or not listing.least_speed:
        return None
    try:
        return listing.least_speed, top_speed(listing.least_speed)
    except UnknownSpeedSymbol:
        return None


def _against_car(
    ours: Reach, car_kmh: int, tyre: Tyre, terms: Terms, least: tuple[str, TopSpeed] | None
) -> Finding:
    car = f"the car reaches {number(car_kmh)} km/h"
    enough = ours.reaches(car_kmh)
    if enough:
        return SAYS.suits(f"The tyre may run {ours.words}; {car}.")
    if enough is None:
        return SAYS.cannot_tell(
            f"How fast the tyre may run is {ours.words}; {car}: ask the tyre's maker."
            if ours.over is None
            else f"The tyre may run {ours.words}; {car}: ask the tyre's maker.",
            SIDEWALL,
        )
    return _exception(ours, car, tyre, terms, least) or SAYS.refuses(
        f"The tyre may run {ours.words}; {car}, which is more."
    )


def _exception(
    ours: Reach, car: str, tyre: Tyre, terms: Terms, least: tuple[str, TopSpeed] | None
) -> Finding | None:
    """Where the law, or the car's own listing, lets a lower symbol pass: with a caution."""
    if terms.use is Use.TRACK:
        return None
    if least and ours.is_at_least(least[1]):
        return SAYS.warns(
            f"The tyre may run {ours.words}; {car}, which is more, but the car's own listing asks "
            f"for no more than {least[0]}: never drive faster than the tyre may run."
        )
    lawful = terms.market in (Market.GB, Market.EU) and tyre.weather is Weather.WINTER
    if lawful and (ours.kmh or 0) >= WINTER_KMH:
        return SAYS.on("", WINTER_SOURCE).warns(
            f"A winter tyre that may run {ours.words}; {car}. It is allowed from {WINTER_KMH} km/h "
            "on, with a notice of the tyre's top speed in the driver's view."
        )
    return None


def _by_listing(ours: Reach, least: tuple[str, TopSpeed] | None, tyre: Tyre, spot: Spot) -> Finding:
    """Where the car's top speed is not known: what its listing asks for, and no better."""
    look_at = "the car's top speed, in its handbook"
    if least is None:
        return SAYS.cannot_tell(
            f"The car's top speed is not known; the tyre's is {ours.words}.", look_at
        )
    enough = ours.is_at_least(least[1])
    if enough:
        return SAYS.warns(
            f"The tyre may run {ours.words}, and the car's listing asks for {least[0]} at least; "
            "the car's top speed itself is not known.",
            look_at,
        )
    if enough is None:
        return SAYS.cannot_tell(
            f"The car's listing asks for {least[0]} at least; the tyre may run {ours.words}.",
            SIDEWALL,
        )
    return _too_low_for_listing(ours, *least)


def _too_low_for_listing(ours: Reach, symbol: str, least: TopSpeed) -> Finding:
    return SAYS.refuses(
        f"The tyre may run {ours.words}; the car's listing asks for {symbol} ({least.words}) at "
        "least."
    )
