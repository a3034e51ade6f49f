"""One tyre judged at many places: what a rule has said of it is not asked again.

A rule says the same of a tyre at two places that agree in all that it looks at of a place
(``SEES``), so it is asked once for each such kind and its answer kept, for one tyre on one set of
terms. A rule that is not named there is asked at every place.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from operator import attrgetter, itemgetter
from typing import Any

from fitments.rules.age import judge_age
from fitments.rules.approval import judge_approval
from fitments.rules.construction import judge_construction
from fitments.rules.diameter import judge_diameter
from fitments.rules.listed import listed_as
from fitments.rules.load import judge_load
from fitments.rules.period import judge_listing, judge_pattern, judge_racing
from fitments.rules.registry import RULES
from fitments.rules.rim import judge_rim
from fitments.rules.shape import judge_shape
from fitments.rules.size import judge_size
from fitments.rules.speed import judge_speed
from fitments.rules.supply import judge_supply
from fitments.rules.tube import judge_tube
from fitments.rules.use import judge_use
from fitments.rules.values import (
    Finding,
    FittedSize,
    Outcome,
    Spot,
    Standing,
    Terms,
    Tyre,
    Use,
    Verdict,
)
from fitments.rules.voice import Rule
from fitments.rules.weight import cells_for, weighed

PLAIN = (
    *("axle", "side", "rim_mm", "bead", "width_in", "rim_kind", "tubed"),
    *("axle_load_kg", "wheels", "top_speed_kmh", "built", "competition_class"),
    *("customer_limit_months", "house_limit_months"),
)
"""What is compared as it is. Of the rest: ``approvals`` are compared by which tuple they are and
``pressures`` by which objects; ``listed`` is how the tyre's own size is listed there; ``instead``
is all that matters where it is not; ``raced`` is all that matters of a car that races."""
TRAITS = (*PLAIN, "approvals", "pressures", "listed", "instead", "raced")
SEES: dict[Rule, tuple[str, ...]] = {
    judge_size: ("listed", "instead"),
    judge_rim: ("rim_mm", "bead", "width_in"),
    judge_load: ("axle_load_kg", "wheels", "top_speed_kmh", "pressures", "listed"),
    judge_speed: ("top_speed_kmh", "listed"),
    judge_construction: ("listed",),
    judge_tube: ("rim_kind", "tubed"),
    judge_approval: ("axle", "approvals", "competition_class"),
    judge_pattern: ("built",),
    judge_listing: ("listed",),
    judge_racing: ("raced",),
    judge_use: ("axle", "side"),
    judge_age: ("competition_class", "customer_limit_months", "house_limit_months"),
    judge_diameter: ("listed", "instead"),
    judge_supply: (),
    judge_shape: (),
}

Traits = tuple[Hashable, ...]
Said = tuple[tuple[Finding, ...], Outcome | None]
"""Weighed findings, and the strictest outcome that counts among them; None where none does."""

Told = tuple[Finding, Finding | None, Outcome | None]
"""A finding as the rule has it, the same weighed (None: not asked for), and what it counts."""
Seen = Callable[[Traits], Hashable]

_plain: Callable[[Spot], tuple[Any, ...]] = attrgetter(*PLAIN)


class Round:
    """One tyre on its round from place to place, and what has been said of it."""

    def __init__(self, tyre: Tyre, terms: Terms) -> None:
        self.tyre, self.terms = tyre, terms
        self._asked: list[tuple[Rule, Seen, dict[Hashable, Said]]] = [
            (judge, _seen(judge), {}) for entry in RULES for judge, _ in entry.asked
        ]
        self._cells = cells_for(terms.market, terms.use)
        self._told: dict[str, Told] = {}
        self._listed: dict[int, FittedSize | None] = {}
        self._been: list[Spot] = []  # kept, so that what was compared by identity stays itself

    def judge(self, spot: Spot) -> Verdict:
        """The verdict of `fitments.verdict.judge_on` at this place."""
        self._been.append(spot)
        traits = self._traits(spot)
        findings: list[Finding] = []
        strictest: Outcome | None = None
        for judge, seen, known in self._asked:
            kind = seen(traits)
            said = known.get(kind)
            if said is None:
                said = known[kind] = self._ask(judge, spot)
            findings += said[0]
            counted = said[1]
            if counted is not None and (strictest is None or counted > strictest):
                strictest = counted
        outcome = Outcome.CANNOT_TELL if strictest is None else strictest
        return Verdict(outcome, tuple(findings))

    def _ask(self, judge: Rule, spot: Spot) -> Said:
        """What the rule says here; a sentence that was said before is the one that was said."""
        said: list[Finding] = []
        strictest: Outcome | None = None
        for each in judge(self.tyre, spot, self.terms):
            told = self._told.get(each.words)
            if told is None or told[0] != each:
                told = self._told[each.words] = self._weighed(each)
            _, finding, counted = told
            if finding is not None:
                said.append(finding)
            if counted is not None and (strictest is None or counted > strictest):
                strictest = counted
        return tuple(said), strictest

    def _weighed(self, one: Finding) -> Told:
        finding = weighed(one, self._cells[one.rule, one.point])
        return one, finding, None if finding is None else finding.counted

    def _traits(self, spot: Spot) -> Traits:
        best = self._best(spot)
        if best is not None:
            listed: Traits = (
                *(id(best.size), best.standing, best.source),
                *(best.least_load_index, best.least_speed),
            )
            instead: Traits = ()
        else:
            listed = (spot.built, *map(id, spot.fitted))
            instead = (
                *(spot.axle, spot.reference_overall_mm, spot.arch_room_mm, spot.first_used),
                id(spot.approvals),
            )
        raced = self.terms.use is Use.TRACK or spot.competition
        return (
            *_plain(spot),
            id(spot.approvals),
            tuple(map(id, spot.pressures)),
            listed,
            instead,
            (spot.racing, spot.built) if raced else None,
        )

    def _best(self, spot: Spot) -> FittedSize | None:
        """As `surely_listed`; looked up once for sizes that are listed for cars of any days."""
        key = id(spot.fitted)
        if key in self._listed:
            return self._listed[key]
        best = surely_listed(self.tyre, spot)
        if not any(each.built.known for each in spot.fitted):
            self._listed[key] = best
        return best


def surely_listed(tyre: Tyre, spot: Spot) -> FittedSize | None:
    """The listing of the tyre's own size that is surely for this car; None where there is none.

    Where there is one, no rule looks at any other size of the place, nor at when the car was built
    to tell one listing from another. What merely is on the car now is no listing.
    """
    listed = listed_as(tyre, spot)
    best = listed.best
    return best if listed.sure and best and best.standing is not Standing.ON_CAR else None


def _seen(judge: Rule) -> Seen:
    """What this rule tells places apart by."""
    sees = SEES.get(judge)
    if sees is None:
        return lambda traits: object()
    return itemgetter(*(TRAITS.index(name) for name in sees)) if sees else lambda traits: None
