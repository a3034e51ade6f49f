"""Does a tyre suit a place, or do tyres suit a car together? Every finding, and the strictest.

Pure: what is known comes in as values, the day too; nothing is read and nothing is stored.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import TypeAlias

from fitments.rules.across_car import judge_car
from fitments.rules.on_axle import judge_axle
from fitments.rules.placed import Placed, are_partners
from fitments.rules.registry import RULES
from fitments.rules.values import (
    DIAMETER_TOLERANCE_PERCENT,
    Axle,
    Finding,
    Hand,
    Market,
    MarkPolicy,
    Spot,
    Terms,
    Tyre,
    Use,
    Verdict,
    Weather,
)
from fitments.rules.weight import weigh

__all__ = ["judge", "judge_on", "judge_set"]

OnAxle: TypeAlias = "Tyre | Sequence[Tyre]"


def judge(
    tyre: Tyre,
    spot: Spot,
    *,
    use: Use,
    market: Market,
    on: date,
    diameter_tolerance_percent: float = DIAMETER_TOLERANCE_PERCENT,
    weather: Weather | None = None,
) -> Verdict:
    """Whether one tyre suits one place on a car, for a use and market, leaving on a day.

    Never raises for what is missing or odd in tyre or spot: that is "cannot tell".
    """
    terms = Terms(
        use=use,
        market=market,
        on=on,
        diameter_tolerance_percent=diameter_tolerance_percent,
        weather=weather,
    )
    return judge_on(tyre, spot, terms)


def judge_on(tyre: Tyre, spot: Spot, terms: Terms) -> Verdict:
    """The same, on terms made once for many tyres."""
    return Verdict.of(weigh(_findings(tyre, spot, terms), terms))


def judge_set(
    tyres: Mapping[Axle, OnAxle],
    spots: Mapping[Axle, Spot],
    *,
    use: Use,
    market: Market,
    on: date,
    spare: Tyre | None = None,
    mark_issues: MarkPolicy | None = None,
    diameter_tolerance_percent: float = DIAMETER_TOLERANCE_PERCENT,
    weather: Weather | None = None,
) -> Verdict:
    """Whether tyres suit a car together: each at its place, each axle, and the car as a whole.

    ``tyres`` names for each axle one tyre (all of the axle are such), or every different tyre on
    it: a left and a right, or a new one beside what is on the car. An axle that is not named is not
    judged. ``mark_issues`` is the policy of the issuer of the mark. Each finding names its place.
    """
    terms = Terms(
        use=use,
        market=market,
        on=on,
        diameter_tolerance_percent=diameter_tolerance_percent,
        weather=weather,
        mark_issues=mark_issues,
    )
    car = Placed(
        tyres={axle: _several(tyres[axle]) for axle in Axle if axle in tyres},
        terms=terms,
        spots=spots,
        spare=spare,
    )
    found: list[Finding] = []
    for axle in car.tyres:
        found += _at(axle, _each_place(car, axle))
        found += _at(axle, judge_axle(car, axle))
    return Verdict.of(weigh([*found, *judge_car(car)], terms))


def _findings(tyre: Tyre, spot: Spot, terms: Terms) -> Iterable[Finding]:
    return (finding for rule in RULES for finding in rule.judge(tyre, spot, terms))


def _each_place(car: Placed, axle: Axle) -> Iterable[Finding]:
    """Every different tyre of an axle at its place; of a handed pair, each on its own side."""
    tyres, spot = car.on(axle), car.spot(axle)
    paired = len(tyres) == 2 and are_partners(*tyres)
    for tyre in dict.fromkeys(tyres):
        mine = replace(spot, side=str(tyre.hand)) if paired and tyre.hand is not Hand.NONE else spot
        yield from _findings(tyre, mine, car.terms)


def _several(given: OnAxle) -> tuple[Tyre, ...]:
    return (given,) if isinstance(given, Tyre) else tuple(given)


def _at(axle: Axle, findings: Iterable[Finding]) -> Iterable[Finding]:
    return (replace(each, place=str(axle)) for each in findings)
