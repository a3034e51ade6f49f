"""Does a tyre suit a place, or do tyres suit a car together? Every finding, and the strictest.

Pure: what is known comes in as values, the day too; nothing is read and nothing is stored.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from fitments.rules.bench import Bench, OnAxle, judge_at
from fitments.rules.values import (
    DIAMETER_TOLERANCE_PERCENT,
    Axle,
    Market,
    MarkPolicy,
    Spot,
    Terms,
    Tyre,
    Use,
    Verdict,
    Weather,
)

__all__ = ["Bench", "judge", "judge_on", "judge_set"]


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
    return judge_at(tyre, spot, terms)


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
    Who judges many sets on one car makes a `Bench` and asks it.
    """
    terms = Terms(
        use=use,
        market=market,
        on=on,
        diameter_tolerance_percent=diameter_tolerance_percent,
        weather=weather,
        mark_issues=mark_issues,
    )
    return Bench(spots, terms).judge(tyres, spare)
