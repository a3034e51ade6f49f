"""One set judged for its car as it leaves, and as it was when it was ordered."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from django.conf import settings
from django.utils import timezone

from fitments.lookup.approvals import approvals_for
from fitments.lookup.classes import as_known
from fitments.lookup.spots import AsItStands, class_of, spots_of
from fitments.models.organiser import CompetitionClass
from fitments.release.sold import SPARE, Car, Sold
from fitments.rules.age import judge_age
from fitments.rules.matching import about, same_mark
from fitments.rules.values import (
    ApprovalFact,
    Axle,
    Finding,
    Outcome,
    Spot,
    Terms,
    Tyre,
    Verdict,
)
from fitments.rules.weight import weigh
from fitments.verdict import judge_on, judge_set
from inventory.release import Reason


@dataclass(frozen=True, slots=True)
class Judged:
    """What the rules say of one set now, and of its approvals when it was ordered.

    facts: by lot, the approvals of its tyres as they are marked. verdict: None where nothing of it
    is a tyre. lost: a reason for each approval that held when it was ordered and does not now.
    """

    verdict: Verdict | None
    facts: Mapping[int, tuple[ApprovalFact, ...]]
    lost: tuple[Reason, ...]


class Register:
    """Approvals by model range and class, day and moment; what was asked before is not again."""

    def __init__(self) -> None:
        self._told: dict[tuple[int, int | None, date, datetime], tuple[ApprovalFact, ...]] = {}
        self._classes: dict[tuple[int, datetime], CompetitionClass | None] = {}

    def of(self, sold: Sold, car: Car, on: date, known_on: datetime) -> tuple[ApprovalFact, ...]:
        ran = sold.competition_class
        line, key = car.variant.vehicle_line_id, ran.pk if ran else None
        asked = (line, key, on, known_on)
        if asked not in self._told:
            found = approvals_for(
                vehicle_lines=[line],
                classes=[key] if key is not None else [],
                in_force_on=on,
                known_on=known_on,
            )
            self._told[asked] = tuple(fact for facts in found.values() for fact in facts)
        return self._told[asked]

    def class_of(self, sold: Sold, known_on: datetime) -> CompetitionClass | None:
        """The class that the set was sold for, by the terms that were known of it then."""
        ran = sold.competition_class
        if ran is None:
            return None
        if (ran.pk, known_on) not in self._classes:
            self._classes[ran.pk, known_on] = as_known(ran, known_on)
        return self._classes[ran.pk, known_on]


def judged(sold: Sold, register: Register, *, at: datetime) -> Judged:
    """Judge a set for the car that it was sold for; without a car its age alone."""
    on = timezone.localtime(at).date()
    if not sold.tyres:
        return Judged(None, {}, ())
    if sold.car is None:
        return Judged(_by_age(sold, on), {}, ())
    now = spots_for(sold, sold.car, register, at)
    moment = sold.asked.ordered_at
    ordered = timezone.localtime(moment).date()
    then = spots_for(sold, sold.car, register, moment)
    facts = _facts(sold, now)
    verdict = _verdict(sold, now, on)
    return Judged(verdict, facts, tuple(_lost(_verdict(sold, then, ordered), verdict)))


def spots_for(sold: Sold, car: Car, register: Register, at: datetime) -> dict[Axle, Spot]:
    """The places on the car that a set was sold for, by what was on record at a moment."""
    on = timezone.localtime(at).date()
    ran, known = register.class_of(sold, at), register.of(sold, car, on, at)
    return _spots(car, known, ran, limit_months=sold.limit_months)


def _facts(sold: Sold, spots: Mapping[Axle, Spot]) -> dict[int, tuple[ApprovalFact, ...]]:
    """By lot; one lot may be on both axles, each with approvals of its own."""
    found: dict[int, dict[str, ApprovalFact]] = {}
    for place, some in sold.tyres.items():
        for lot, tyre in some:
            for spot in spots.values():
                if place in ("", SPARE, spot.axle):
                    mine = [
                        one for one in about(spot.approvals, tyre, spot) if same_mark(one, tyre)
                    ]
                    found.setdefault(lot, {}).update({fact.code: fact for fact in mine})
    return {lot: tuple(facts.values()) for lot, facts in found.items()}


def _spots(
    car: Car,
    approvals: tuple[ApprovalFact, ...],
    ran: CompetitionClass | None,
    *,
    limit_months: int | None,
) -> dict[Axle, Spot]:
    return spots_of(
        car.variant,
        built=car.built,
        stands=AsItStands(
            typed=car.wheels,
            customer_limit_months=limit_months,
            house_limit_months=settings.HOUSE_AGE_LIMIT_MONTHS,
        ),
        approvals=approvals,
        competition_class=class_of(ran),
    )


def _verdict(sold: Sold, spots: Mapping[Axle, Spot], on: date) -> Verdict:
    tyres = {
        axle: tuple(tyre for _, tyre in sold.tyres[axle]) for axle in Axle if axle in sold.tyres
    }
    spare = next((tyre for _, tyre in sold.tyres.get(SPARE, ())), None)
    findings: list[Finding] = []
    if tyres:
        findings += judge_set(
            tyres, spots, use=sold.use, market=sold.market, on=on, spare=spare
        ).findings
    for _, tyre in sold.tyres.get("", ()):
        findings += _at_its_best(tyre, spots, terms_of(sold, on)).findings
    return Verdict.of(findings)


def _at_its_best(tyre: Tyre, spots: Mapping[Axle, Spot], terms: Terms) -> Verdict:
    """A loose tyre may go on either axle: it is judged where it does best."""
    return min((judge_on(tyre, spots[axle], terms) for axle in Axle), key=lambda one: one.outcome)


def terms_of(sold: Sold, on: date) -> Terms:
    """What a set was sold for, and the day on which it is judged."""
    return Terms(use=sold.use, market=sold.market, on=on)


def _by_age(sold: Sold, on: date) -> Verdict:
    spot = Spot(
        customer_limit_months=sold.limit_months, house_limit_months=settings.HOUSE_AGE_LIMIT_MONTHS
    )
    terms = terms_of(sold, on)
    tyres = [tyre for some in sold.tyres.values() for _, tyre in some]
    return Verdict.of(weigh((one for tyre in tyres for one in judge_age(tyre, spot, terms)), terms))


def _lost(then: Verdict, now: Verdict) -> Iterable[Reason]:
    """Approvals that let the tyre go when it was ordered and do not any more."""
    held = {_what(one) for one in _approving(then) if one.outcome < Outcome.CANNOT_TELL}
    for one in _approving(now):
        if _what(one) in held and one.outcome is Outcome.DOES_NOT_SUIT:
            words = f"Approved when it was ordered, and not any more. {one.words}"
            yield Reason(f"lost {one.point} {one.place}".strip(), words)


def _approving(verdict: Verdict) -> list[Finding]:
    return [one for one in verdict.by_rule.get("approval", ()) if one.point in ("maker", "list")]


def _what(finding: Finding) -> tuple[str, str]:
    return finding.point, finding.place
