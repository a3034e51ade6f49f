"""Rule 9, use: road-legal or competition only, weather, axle-only, handed, and display tyres."""

from __future__ import annotations

from fitments.rules.values import (
    Condition,
    Finding,
    Hand,
    Spot,
    Terms,
    Tread,
    Tyre,
    TyreUse,
    Use,
    Weather,
)
from fitments.rules.voice import Findings, Voice

RULE = "use"
SAYS = Voice(RULE, "what the tyre's maker makes it for")
LEGAL, WEATHER, AXLE, HAND, CONDITION = (
    SAYS.on(point) for point in ("legal", "weather", "axle", "hand", "condition")
)


_WORN: dict[Condition | None, str] = {
    Condition.FITTED: "It has been fitted before.",
    Condition.TAKE_OFF: "A take-off: it comes from another car.",
    Condition.PART_WORN: "It is part-worn.",
    Condition.HAND_CUT: "Its tread is cut by hand.",
    Condition.BUFFED: "It is buffed.",
}


def judge_use(tyre: Tyre, spot: Spot, terms: Terms) -> Findings:
    found = (
        _legal(tyre, terms),
        _weather(tyre, terms),
        _axle(tyre, spot),
        _hand(tyre, spot),
        _condition(tyre),
    )
    return tuple(each for each in found if each)


def _legal(tyre: Tyre, terms: Terms) -> Finding:
    if tyre.use is None:
        return LEGAL.cannot_tell(
            "Whether the tyre is for the road is not on record.",
            "the sidewall: COMPETITION ONLY, NOT FOR HIGHWAY USE or the like",
        )
    if tyre.use is TyreUse.ROAD_AND_TRACK:
        return LEGAL.suits("A competition tyre that is road-legal.")
    if tyre.use is TyreUse.ROAD:
        if terms.use is Use.TRACK:
            return LEGAL.warns(
                "A road tyre: on the track it runs hotter than it was made for, and the organiser "
                "may not admit it."
            )
        return LEGAL.suits("A road tyre.")
    if terms.use is Use.TRACK:
        return LEGAL.suits("For competition only, as is this use.")
    return LEGAL.refuses("For competition only: it may not be used on a public road.")


def _weather(tyre: Tyre, terms: Terms) -> Finding:
    made, wanted = tyre.weather, terms.weather
    if wanted not in (None, Weather.ANY):
        if made in (Weather.ANY, wanted):
            return WEATHER.suits(f"Wanted for {wanted}; made for {_weather_words(made)}.")
        return WEATHER.refuses(f"Wanted for {wanted}; made for {_weather_words(made)}.")
    if made is Weather.ANY or (made is Weather.WINTER and terms.use is not Use.TRACK):
        return WEATHER.suits(f"Made for {_weather_words(made)}.")
    if terms.use is Use.TRACK and made is not Weather.WINTER:
        return WEATHER.suits(f"Made for {_weather_words(made)}: a tyre for its own weather.")
    return WEATHER.warns(f"Made for {_weather_words(made)} only.")


def _weather_words(weather: Weather) -> str:
    return "dry and wet" if weather is Weather.ANY else f"{weather} weather"


def _axle(tyre: Tyre, spot: Spot) -> Finding | None:
    """Tyres, and compounds, that are made for one axle."""
    by_compound = tyre.compound.axle_only if tyre.compound else ""
    only = {each for each in (tyre.axle_only, by_compound) if each}
    if not only:
        return None
    what = f"compound {tyre.compound.code}" if tyre.compound and by_compound else "the tyre"
    made = f"{what[:1].upper()}{what[1:]} is made for the {' and the '.join(sorted(only))} axle"
    if spot.axle is None:
        return AXLE.cannot_tell(
            f"{made}; which axle is meant is not known.", "which axle it is for"
        )
    if only == {spot.axle}:
        return AXLE.suits(f"{made}, as is this place.")
    return AXLE.refuses(f"{made} only; this is the {spot.axle} axle.")


def _hand(tyre: Tyre, spot: Spot) -> Finding | None:
    if tyre.hand is Hand.NONE:
        if tyre.tread is Tread.DIRECTIONAL:
            return HAND.suits("Turns one way: mount it by the arrow. It is not handed.")
        if tyre.tread is Tread.ASYMMETRIC:
            return HAND.suits("Has an outside and an inside: mount it so. It is not handed.")
        return None
    if not spot.side:
        return HAND.warns(
            f"Handed: this one is for the {tyre.hand} side, and its partner is another SKU.",
            "that one left and one right are taken",
        )
    if spot.side == tyre.hand:
        return HAND.suits(f"Handed, for the {tyre.hand} side, as is this place.")
    return HAND.refuses(f"Handed, for the {tyre.hand} side; this is the {spot.side} side.")


def _condition(tyre: Tyre) -> Finding | None:
    if tyre.condition in (None, Condition.NEW):
        return None
    if tyre.condition is Condition.DISPLAY:
        return CONDITION.refuses("For display only: it may stand under a car, never run.")
    return CONDITION.warns(_WORN[tyre.condition], "the tyre itself, inside and out")
