"""Speedometer rules: what a change of diameter does to the speed shown.

With an over-read ratio r = shown / true and c = new / old diameter, the new ratio is r / c.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from inventory.markings.geometry.dimension import GeometryError
from inventory.markings.units import Measured, to_kmh, to_mm

__all__ = ["SpeedometerCheck", "SpeedometerRule", "speedometer_check", "speedometer_rule"]

R39_SPEEDS_KMH = (40, 80, 120)  # test speeds of UN R39, from memory
_NO_SPEEDOMETER_BEFORE = date(1937, 10, 1)


class SpeedometerRule(StrEnum):
    """The rule that a car's speedometer is judged by."""

    UN_R39 = "UN R39"
    GB_TEN_PERCENT = "GB 10 %"
    NONE_BEFORE_1937 = "none before 1937"


SOURCES = {
    SpeedometerRule.UN_R39: "UN R39 5.3 (type approval): 0 <= V1 - V2 <= 0.1 V2 + 4 km/h",
    SpeedometerRule.GB_TEN_PERCENT: "GB Construction and Use Regulations 1986, 35 and 36: within "
    "10 %, from memory",
    SpeedometerRule.NONE_BEFORE_1937: "GB Construction and Use Regulations 1986, 35: none needed "
    "on a car first used before 1 October 1937",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeedometerCheck:
    """What a rule says of a change of diameter.

    ``outcome`` is "within", "outside", "cannot tell" or "no rule". ``over_read_after`` is shown /
    true on the new tyre where it was known on the old. ``over_read_needed`` is the range (lowest,
    highest) that shown / true on the *old* tyre must lie in for the new one to be within the rule;
    None where there is no rule.
    """

    rule: SpeedometerRule
    outcome: str
    words: str
    source: str
    over_read_after: float | None
    over_read_needed: tuple[float, float] | None


def speedometer_rule(first_used: date, market: str) -> SpeedometerRule:
    """The rule for a car first used on a day, in a market ("GB", "EU", ...).

    In Great Britain none before 1 October 1937, and ten per cent after (from memory); elsewhere the
    rule of type approval, UN R39.
    """
    if market != "GB":
        return SpeedometerRule.UN_R39
    if first_used < _NO_SPEEDOMETER_BEFORE:
        return SpeedometerRule.NONE_BEFORE_1937
    return SpeedometerRule.GB_TEN_PERCENT


def speedometer_check(
    old_mm: Measured,
    new_mm: Measured,
    over_read: float | None,
    rule: str,
    *,
    speeds_kmh: Sequence[Measured] = R39_SPEEDS_KMH,
) -> SpeedometerCheck:
    """Whether a speedometer stays within a rule when the overall diameter changes.

    ``over_read`` is shown / true on the old tyre (1.03: it shows 3 % too much), None where nobody
    has measured it: then only a change that no lawful speedometer could stand is "outside".
    ``speeds_kmh`` are the true speeds at which UN R39 is judged. Raises GeometryError, WrongUnit.
    """
    try:
        chosen = SpeedometerRule(rule)
    except ValueError:
        known = ", ".join(SpeedometerRule)
        raise GeometryError(f"“{rule}” is no speedometer rule: choose one of {known}.") from None
    change = _change(old_mm, new_mm)
    if over_read is not None and not 0.5 <= over_read <= 2:
        raise GeometryError(f"A speedometer does not show {over_read:g} times the true speed.")
    after = None if over_read is None else round(over_read / change, 4)
    if chosen is SpeedometerRule.NONE_BEFORE_1937:
        return _answer(chosen, "no rule", "No speedometer is needed on this car.", after, None)
    low, high = _allowed(chosen, speeds_kmh)
    needed = (round(low * change, 4), round(high * change, 4))
    if over_read is None:
        outcome, words = _unmeasured(change, low, high, needed)
    else:
        outcome, words = _measured(over_read / change, low, high)
    return _answer(chosen, outcome, words, after, needed)


def _change(old_mm: Measured, new_mm: Measured) -> float:
    old, new = to_mm(old_mm), to_mm(new_mm)
    if not old or not new:
        raise GeometryError("A tyre's overall diameter is not nought: give both diameters.")
    return new / old


def _allowed(rule: SpeedometerRule, speeds_kmh: Sequence[Measured]) -> tuple[float, float]:
    """The lowest and the highest shown / true that the rule allows at every one of the speeds."""
    if rule is SpeedometerRule.GB_TEN_PERCENT:
        return 0.9, 1.1
    fastest = max((to_kmh(speed) for speed in speeds_kmh), default=0.0)
    if not fastest:
        raise GeometryError("Name at least one speed above nought to judge the speedometer at.")
    return 1.0, 1.1 + 4 / fastest


def _unmeasured(
    change: float, low: float, high: float, needed: tuple[float, float]
) -> tuple[str, str]:
    if change == 1:
        return "within", "The diameter is the same: the speedometer shows what it showed."
    if low * change > high or high * change < low:
        return "outside", "No speedometer that was within the rule before is within it after."
    return "cannot tell", (
        f"Measure the speedometer on the old tyre: it must show {_percent(needed[0])} to "
        f"{_percent(needed[1])} of the true speed there for the new one to be within the rule."
    )


def _measured(after: float, low: float, high: float) -> tuple[str, str]:
    says = (
        f"With the new tyre it shows {_percent(after)} of the true speed; the rule allows "
        f"{_percent(low)} to {_percent(high)}."
    )
    tolerance = 1e-9  # a ratio exactly on the limit is within
    within = low - tolerance <= after <= high + tolerance
    return "within" if within else "outside", says


def _percent(ratio: float) -> str:
    return f"{100 * ratio:.1f} %"


def _answer(
    rule: SpeedometerRule,
    outcome: str,
    words: str,
    after: float | None,
    needed: tuple[float, float] | None,
) -> SpeedometerCheck:
    return SpeedometerCheck(
        rule=rule,
        outcome=outcome,
        words=words,
        source=SOURCES[rule],
        over_read_after=after,
        over_read_needed=needed,
    )
