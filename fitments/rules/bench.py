"""Many tyres judged at the places of one car: what a rule has said is not asked again.

A rule says the same of two tyres that agree in all that it looks at (``Entry.looks_at``), so it is
asked once for each such kind and its answer kept. A sentence that names the tyre is that tyre's
own: it is not kept.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import replace
from operator import attrgetter
from typing import TypeAlias

from fitments.rules.across_car import judge_car
from fitments.rules.on_axle import judge_axle
from fitments.rules.placed import Placed, are_partners
from fitments.rules.registry import APPROVED, CAR_LOOKS_AT, RULES
from fitments.rules.values import Axle, Finding, Hand, Outcome, Spot, Terms, Tyre, Verdict
from fitments.rules.voice import Rule
from fitments.rules.weight import weigh

OnAxle: TypeAlias = "Tyre | Sequence[Tyre]"
Looks: TypeAlias = Callable[[Tyre], Hashable]

_AXLES = tuple(Axle)
_car_looks: Looks = attrgetter(*CAR_LOOKS_AT)


class Said:
    """Weighed findings and the strictest outcome that counts among them; None where none does."""

    __slots__ = ("findings", "strictest")

    def __init__(self, findings: tuple[Finding, ...]) -> None:
        self.findings = findings
        strictest: Outcome | None = None
        for each in findings:
            counted = each.counted
            if counted is not None and (strictest is None or counted > strictest):
                strictest = counted
        self.strictest = strictest

    def names(self, tyres: Iterable[Tyre | None]) -> bool:
        """Whether any sentence calls one of these tyres by its name."""
        names = [str(each) for each in tyres if each is not None]
        return any(name in each.words for each in self.findings for name in names)


class Place:
    """One place of a car, and what has been said of tyres at it."""

    __slots__ = ("_asked", "_spot", "_terms", "_where")

    def __init__(self, spot: Spot, terms: Terms, where: str) -> None:
        self._spot, self._terms, self._where = spot, terms, where
        self._asked: list[tuple[Rule, Looks, dict[Hashable, Said], bool]] = [
            (judge, _looks(_told_apart_by(looks_at, spot)), {}, entry.names)
            for entry in RULES
            for judge, looks_at in entry.asked
        ]

    def of(self, tyre: Tyre) -> list[Said]:
        """What every rule says of a tyre here, in their order; nothing of those with none to say"""
        told = []
        for judge, looks, known, names in self._asked:
            kind = looks(tyre)
            said = known.get(kind)
            if said is None:
                found = judge(tyre, self._spot, self._terms)
                said = Said(weigh(found, self._terms, self._where))
                if not names or not said.names((tyre,)):
                    known[kind] = said
            if said.findings:
                told.append(said)
        return told


def _looks(names: Sequence[str]) -> Looks:
    return attrgetter(*names) if names else _at_nothing


def _at_nothing(tyre: Tyre) -> Hashable:
    return None


def _told_apart_by(looks_at: tuple[str, ...], spot: Spot) -> Sequence[str]:
    """What a rule looks at of a tyre at this place: what no approval here asks for, it does not."""
    if looks_at[: len(APPROVED)] != APPROVED:
        return looks_at
    asked = {
        "pattern_key": any(fact.pattern_key is not None for fact in spot.approvals),
        "compound": any(fact.compound_key is not None for fact in spot.approvals),
        "mark": bool(spot.approvals),
        "mark_issue": bool(spot.approvals),
    }
    return [name for name in looks_at if asked.get(name, True)]


class Bench:
    """The places of one car, on terms, at which tyres are judged one set after another."""

    def __init__(self, spots: Mapping[Axle, Spot], terms: Terms) -> None:
        self.spots, self.terms = spots, terms
        self._places: dict[tuple[Axle, str], Place] = {}
        self._cars: dict[Hashable, Said] = {}

    def judge(self, tyres: Mapping[Axle, OnAxle], spare: Tyre | None = None) -> Verdict:
        """The verdict on tyres together: each at its place, each axle, and the car as a whole.

        ``tyres`` as for `fitments.verdict.judge_set`.
        """
        placed = {axle: _several(tyres[axle]) for axle in _AXLES if axle in tyres}
        car = Placed(tyres=placed, terms=self.terms, spots=self.spots, spare=spare)
        told: list[Said] = []
        for axle, here in placed.items():
            for place, tyre in self._each_place(car, axle, here):
                told += place.of(tyre)
            if len(here) > 1 or (here and here[0].hand is not Hand.NONE):  # else nothing to be said
                told.append(Said(weigh(judge_axle(car, axle), self.terms, axle.value)))
        told.append(self._together(car))
        return _verdict(told)

    def _each_place(
        self, car: Placed, axle: Axle, tyres: tuple[Tyre, ...]
    ) -> Iterable[tuple[Place, Tyre]]:
        """Every different tyre of an axle at its place; of a handed pair, each on its own side."""
        paired = len(tyres) == 2 and are_partners(*tyres)
        for tyre in tyres if len(tyres) == 1 else dict.fromkeys(tyres):
            side = str(tyre.hand) if paired and tyre.hand is not Hand.NONE else ""
            place = self._places.get((axle, side))
            if place is None:
                spot = replace(car.spot(axle), side=side) if side else car.spot(axle)
                place = self._places[axle, side] = Place(spot, self.terms, str(axle))
            yield place, tyre

    def _together(self, car: Placed) -> Said:
        """What the rules across the car say."""
        tyres = [*(each for here in car.tyres.values() for each in here), car.spare]
        kind = (
            *(tuple(map(_car_looks, here)) for here in car.tyres.values()),
            *car.tyres,
            _car_looks(car.spare) if car.spare else None,
        )
        said = self._cars.get(kind)
        if said is None:
            said = Said(weigh(judge_car(car), self.terms))
            if not said.names(tyres):
                self._cars[kind] = said
        return said


def judge_at(tyre: Tyre, spot: Spot, terms: Terms) -> Verdict:
    """One tyre at one place; the findings name no place."""
    found = [each for entry in RULES for each in entry.judge(tyre, spot, terms)]
    return Verdict.of(weigh(found, terms))


def _several(given: OnAxle) -> tuple[Tyre, ...]:
    return (given,) if isinstance(given, Tyre) else tuple(given)


def _verdict(told: Sequence[Said]) -> Verdict:
    """As `Verdict.of`: nothing that counts at all is "cannot tell"."""
    counted = [said.strictest for said in told if said.strictest is not None]
    findings: list[Finding] = []
    for said in told:
        findings += said.findings
    return Verdict(max(counted, default=Outcome.CANNOT_TELL), tuple(findings))
