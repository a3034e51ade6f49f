"""Rule 11, diameter, against what is replaced: room in the arches, and the speedometer."""

from __future__ import annotations

from fitments.rules.comparison import Comparison, compare
from fitments.rules.listed import listed_as
from fitments.rules.values import Finding, Market, Outcome, Spot, Standing, Terms, Tyre
from fitments.rules.voice import Findings, Voice
from fitments.rules.words import mm, number, percent
from inventory.markings.geometry import SpeedometerRule, speedometer_check, speedometer_rule

RULE = "diameter"
ARCH = Voice(RULE, "what was measured on, or is stated of, the car", "arch")
SPEEDOMETER = Voice(RULE, "", "speedometer")
_OUTCOMES = {
    "within": Outcome.SUITS,
    "no rule": Outcome.SUITS,
    "cannot tell": Outcome.CANNOT_TELL,
    "outside": Outcome.DOES_NOT_SUIT,
}


def judge_diameter(tyre: Tyre, spot: Spot, terms: Terms) -> Findings:
    listed = [each for each in listed_as(tyre, spot).sure if each.standing is not Standing.ON_CAR]
    if listed:
        return (ARCH.suits(f"The size is listed for this axle: its {_diameter(tyre, spot)}"),)
    beside = compare(tyre, spot)
    return (_arch(beside, spot), _speedometer(beside, spot, terms))


def _diameter(tyre: Tyre, spot: Spot) -> str:
    own = compare(tyre, spot).own
    return f"{mm(own.value_mm)} need no comparison." if own else "diameter needs no comparison."


def _arch(beside: Comparison, spot: Spot) -> Finding:
    look_at = "the room between tyre and body, with the suspension at its stops and on full lock"
    if beside.own is None:
        words = "What the tyre measures is not known, so whether it clears the body is not either."
        return ARCH.cannot_tell(words, "the overall diameter in the tyre maker's data")
    most, ours = beside.own.max_mm or beside.own.value_mm, mm(beside.own.value_mm)
    if spot.arch_room_mm is not None:
        room = f"the arches take {mm(spot.arch_room_mm)}"
        if beside.own.value_mm > spot.arch_room_mm:
            return ARCH.refuses(f"The tyre measures {ours}; {room}.")
        if most > spot.arch_room_mm:
            return ARCH.warns(f"The tyre measures {ours}, {mm(most)} at the most; {room}.", look_at)
        return ARCH.suits(f"The tyre measures {ours}, {mm(most)} at the most; {room}.")
    if beside.before is None:
        words = f"The tyre measures {ours}; what room the arches leave is not known."
        return ARCH.cannot_tell(words, look_at)
    return _by_what_was(beside, most, look_at)


def _by_what_was(beside: Comparison, most: float, look_at: str) -> Finding:
    """Without a measured room: what the replaced tyre was let to measure had to clear."""
    before = beside.before
    cleared = (before.max_mm or before.value_mm) if before else 0
    told = f"The tyre measures up to {mm(most)}, {beside.name} up to {mm(cleared)}"
    if most <= cleared:
        return ARCH.warns(f"{told}: it needs no more room; what room there is was not measured.")
    return ARCH.cannot_tell(f"{told}; what room the arches leave is not known.", look_at)


def _speedometer(beside: Comparison, spot: Spot, terms: Terms) -> Finding:
    if beside.own is None or beside.before is None or beside.percent is None:
        return SPEEDOMETER.on("speedometer", "UN R39 5.3; GB: SI 1986/1078 reg 35").cannot_tell(
            "What the tyre measures against what is replaced is not known, so nor is what the "
            "speedometer would show.",
            "both overall diameters",
        )
    first = spot.first_used
    rule = speedometer_rule(first, terms.market) if first else _later_rule(terms.market)
    check = speedometer_check(beside.before.value_mm, beside.own.value_mm, None, rule)
    true = number(100 * beside.own.value_mm / beside.before.value_mm)
    assumed = "" if first else " The day of first use is not known: taken as a later car."
    words = (
        f"{percent(beside.percent)} in diameter: at 100 km/h shown the car does {true} km/h, if "
        f"the speedometer read true before ({rule}). {check.words}{assumed}"
    )
    says = SPEEDOMETER.on("speedometer", check.source)
    outcome = _OUTCOMES[check.outcome]
    look_at = "the speedometer, measured on the old tyres" if outcome is Outcome.CANNOT_TELL else ""
    return says.finds(outcome, words, look_at)


def _later_rule(market: Market) -> SpeedometerRule:
    """The stricter rule, where the day of first use is not known."""
    return SpeedometerRule.GB_TEN_PERCENT if market is Market.GB else SpeedometerRule.UN_R39
