"""What one edition of an organiser's list says of tyres that are held, and of nothing else."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from fitments.lookup.approvals import approvals_for
from fitments.lookup.classes import as_known
from fitments.lookup.spots import class_of
from fitments.models.organiser import CompetitionClass
from fitments.release.sold import read
from fitments.rules.age import judge_age
from fitments.rules.approval import judge_approval
from fitments.rules.matching import about, in_force, same_mark
from fitments.rules.values import (
    ApprovalFact,
    Axle,
    Finding,
    Market,
    Outcome,
    Spot,
    Terms,
    Tyre,
    Use,
)
from inventory.release import LeavingSet

SPOKEN_OF = {("approval", "list"), ("age", "list"), ("age", "buffing")}


@dataclass(frozen=True, slots=True)
class Listed:
    """The tyres of one lot on one place of the car.

    entries: codes of the list's entries in force that are of them. findings: one for whether the
    list has them, for its age limit, and for buffing, as far as it speaks of these.
    """

    lot_id: int
    for_place: str
    entries: tuple[str, ...]
    findings: tuple[Finding, ...]

    @property
    def outcome(self) -> Outcome:
        return max((one.outcome for one in self.findings), default=Outcome.CANNOT_TELL)


def on_list(
    asked: LeavingSet, ran: CompetitionClass, *, on: date, known_on: datetime
) -> tuple[Listed, ...]:
    """Whether the list of a class has these tyres, for a meeting on a day; by lot and place.

    Of the register as it was known at a moment. Companions are left out.
    """
    found = approvals_for(vehicle_lines=(), classes=[ran.pk], in_force_on=on, known_on=known_on)
    facts = found.get(("class", ran.pk), ())
    then = as_known(ran, known_on) or ran
    terms = Terms(use=Use.TRACK, market=Market.GB, on=on)
    (sold,) = read([asked])
    return tuple(
        _best(lot, place, tyre, _spots(place, facts, then), terms)
        for place, some in sold.tyres.items()
        for lot, tyre in some
    )


def _spots(place: str, facts: tuple[ApprovalFact, ...], ran: CompetitionClass) -> Sequence[Spot]:
    """The place on the car; a spare and a loose tyre may go on either axle."""
    axles = [Axle(place)] if place in {axle.value for axle in Axle} else list(Axle)
    return [Spot(axle=axle, approvals=facts, competition_class=class_of(ran)) for axle in axles]


def _best(lot: int, place: str, tyre: Tyre, spots: Iterable[Spot], terms: Terms) -> Listed:
    return min(
        (_judged(lot, place, tyre, spot, terms) for spot in spots), key=lambda one: one.outcome
    )


def _judged(lot: int, place: str, tyre: Tyre, spot: Spot, terms: Terms) -> Listed:
    said = (*judge_approval(tyre, spot, terms), *judge_age(tyre, spot, terms))
    mine = [
        fact.code
        for fact in about(spot.approvals, tyre, spot)
        if same_mark(fact, tyre) and in_force(fact, terms)
    ]
    return Listed(
        lot, place, tuple(mine), tuple(one for one in said if (one.rule, one.point) in SPOKEN_OF)
    )
