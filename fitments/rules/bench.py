"""Many tyres judged at the places of one car: what a rule has said is not asked again.

A rule says the same of two tyres that agree in all that it looks at (``Entry.looks_at``), so it is
asked once for each such kind and its answer kept. A sentence that names the tyre is that tyre's
own: it is not kept. Who only puts tyres in order asks for the gist, whose kinds are fewer.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import replace
from operator import attrgetter
from typing import TypeAlias

from fitments.rules.across_car import judge_car
from fitments.rules.gist import NOTHING, WORST, Brief, Gist, both, brief_of, gist_of
from fitments.rules.kinds import Looks, groups, looks, told_apart_by
from fitments.rules.on_axle import judge_axle, mark_words
from fitments.rules.placed import Placed, are_partners
from fitments.rules.registry import CAR_LOOKS_AT, RULES
from fitments.rules.values import Axle, Finding, Hand, Outcome, Spot, Terms, Tyre, Verdict
from fitments.rules.voice import Rule
from fitments.rules.weight import weigh

OnAxle: TypeAlias = "Tyre | Sequence[Tyre]"

_Known: TypeAlias = dict[Hashable, Brief]
_Group: TypeAlias = tuple[Looks, tuple[int, ...], _Known]
_AXLES = tuple(Axle)
_car_looks: Looks = attrgetter(*CAR_LOOKS_AT)
_car_looks_at_builds: Looks = attrgetter(*CAR_LOOKS_AT[:-2])  # all but the mark and its issue


class Said:
    """Weighed findings, the strictest outcome that counts among them (None: none does), and all
    that they come to."""

    __slots__ = ("brief", "findings", "strictest")

    def __init__(self, findings: tuple[Finding, ...]) -> None:
        self.findings = findings
        self.brief = brief_of(findings)
        self.strictest = Outcome(self.brief[0]) if self.brief[0] >= 0 else None

    def names(self, tyres: Iterable[Tyre | None]) -> bool:
        """Whether any sentence calls one of these tyres by its name."""
        names = [str(each) for each in tyres if each is not None]
        return any(name in each.words for each in self.findings for name in names)


class Place:
    """One place of a car, and what has been said of tyres at it."""

    __slots__ = ("_asked", "_first", "_others", "_spot", "_telling", "_terms", "_where")

    def __init__(self, spot: Spot, terms: Terms, where: str) -> None:
        self._spot, self._terms, self._where = spot, terms, where
        self._asked: list[tuple[Rule, Looks, dict[Hashable, Said], bool]] = [
            (judge, looks(told_apart_by(looks_at, spot)), {}, entry.names)
            for entry in RULES
            for judge, looks_at in entry.asked
        ]
        first, others = groups(spot, terms)
        self._first: list[_Group] = [(kind, numbers, {}) for kind, numbers in first]
        self._telling = self._first[1:]
        self._others: list[_Group] = [(kind, numbers, {}) for kind, numbers in others]

    def of(self, tyre: Tyre) -> list[Said]:
        """What every rule says of a tyre here, in their order; nothing of those with none to say"""
        told = []
        for asked in self._asked:
            said = asked[2].get(asked[1](tyre)) or self._ask(asked, tyre)
            if said.findings:
                told.append(said)
        return told

    def briefly(self, tyre: Tyre, before: Brief) -> Brief:
        """What all rules come to together for a tyre here, and what there was before.

        Nothing is worse than a refusal: then only those are asked that say more than an outcome.
        """
        some = self._telling if before[0] == WORST else self._first
        brief = self._of_groups(some, tyre, before)
        return brief if brief[0] == WORST else self._of_groups(self._others, tyre, brief)

    def _of_groups(self, some: list[_Group], tyre: Tyre, before: Brief) -> Brief:
        strictest, bits = before
        for kind_of, numbers, known in some:
            kind = kind_of(tyre)
            brief = known.get(kind)
            if brief is None:
                brief = known[kind] = self._brief(numbers, tyre)
            if brief[0] > strictest:
                strictest = brief[0]
            bits |= brief[1]
        return strictest, bits

    def _brief(self, numbers: Sequence[int], tyre: Tyre) -> Brief:
        """What some rules come to, asked one by one as long as none refuses."""
        brief = NOTHING
        for number in numbers:
            asked = self._asked[number]
            said = asked[2].get(asked[1](tyre)) or self._ask(asked, tyre)
            brief = both((brief, said.brief))
            if brief[0] == WORST:
                break
        return brief

    def _ask(self, asked: tuple[Rule, Looks, dict[Hashable, Said], bool], tyre: Tyre) -> Said:
        judge, looks_at, known, names = asked
        said = Said(weigh(judge(tyre, self._spot, self._terms), self._terms, self._where))
        if not names or not said.names((tyre,)):
            known[looks_at(tyre)] = said
        return said


class Bench:
    """The places of one car, on terms, at which tyres are judged one set after another."""

    def __init__(self, spots: Mapping[Axle, Spot], terms: Terms) -> None:
        self.spots, self.terms = spots, terms
        self._places: dict[tuple[str, str], Place] = {}
        self._cars: dict[Hashable, Said] = {}
        self._briefly: dict[Hashable, Brief] = {}

    def judge(self, tyres: Mapping[Axle, OnAxle], spare: Tyre | None = None) -> Verdict:
        """The verdict on tyres together: each at its place, each axle, and the car as a whole.

        ``tyres`` as for `fitments.verdict.judge_set`.
        """
        car = self._placed(tyres, spare)
        told: list[Said] = []
        for axle, here in car.tyres.items():
            for place, tyre in self._each_place(axle, here):
                told += place.of(tyre)
            if _are_to_be_compared(here):
                told.append(Said(weigh(judge_axle(car, axle), self.terms, axle.value)))
        told.append(self._together(car))
        return _verdict(told)

    def gist(self, tyres: Mapping[Axle, OnAxle], spare: Tyre | None = None) -> Gist:
        """What `judge` comes to for the same tyres; no sentence is kept, and few are made."""
        brief = NOTHING
        for axle, given in tyres.items():
            here = _several(given)
            for place, tyre in self._each_place(axle, here):
                brief = place.briefly(tyre, brief)
            if _are_to_be_compared(here):
                found = judge_axle(self._placed(tyres, spare), axle)
                brief = both((brief, brief_of(weigh(found, self.terms))))
        if brief[0] < WORST:
            together = self._briefly_together(self._placed(tyres, spare))
            brief = both((brief, together))
        return gist_of(brief)

    def _placed(self, tyres: Mapping[Axle, OnAxle], spare: Tyre | None) -> Placed:
        placed = {axle: _several(tyres[axle]) for axle in _AXLES if axle in tyres}
        return Placed(tyres=placed, terms=self.terms, spots=self.spots, spare=spare)

    def _each_place(self, axle: Axle, tyres: tuple[Tyre, ...]) -> Sequence[tuple[Place, Tyre]]:
        """Every different tyre of an axle at its place; of a handed pair, each on its own side."""
        if len(tyres) == 1:
            return [(self._place(axle, ""), tyres[0])]
        paired = len(tyres) == 2 and are_partners(*tyres)
        return [
            (self._place(axle, str(tyre.hand) if paired else ""), tyre)
            for tyre in dict.fromkeys(tyres)
        ]

    def _place(self, axle: Axle, side: str) -> Place:
        where = axle.value, side  # the axle itself takes longer to look up
        place = self._places.get(where)
        if place is None:
            spot = self.spots.get(axle) or Spot(axle=axle)
            spot = replace(spot, side=side) if side else spot
            place = self._places[where] = Place(spot, self.terms, str(axle))
        return place

    def _together(self, car: Placed) -> Said:
        """What the rules across the car say."""
        kind = _kind_of_car(car)
        said = self._cars.get(kind)
        if said is None:
            said = Said(weigh(judge_car(car), self.terms))
            tyres = [*(each for here in car.tyres.values() for each in here), car.spare]
            if not said.names(tyres):
                self._cars[kind] = said
        return said

    def _briefly_together(self, car: Placed) -> Brief:
        """The same in brief; of marks it matters only how they differ, where they do."""
        tyres = [each for here in car.tyres.values() for each in here]
        marks = [mark_words(each) for each in tyres]
        kind = (
            *map(_car_looks_at_builds, tyres),
            *map(len, car.tyres.values()),
            *car.tyres,
            _car_looks_at_builds(car.spare) if car.spare else None,
            tuple(marks) if len({*marks}) > 1 else None,
        )
        brief = self._briefly.get(kind)
        if brief is None:
            brief = self._briefly[kind] = self._together(car).brief
        return brief


def _kind_of_car(car: Placed) -> Hashable:
    """What the rules across a car tell cars apart by."""
    return (
        *(tuple(map(_car_looks, here)) for here in car.tyres.values()),
        *car.tyres,
        _car_looks(car.spare) if car.spare else None,
    )


def _are_to_be_compared(tyres: tuple[Tyre, ...]) -> bool:
    """Whether there is something to be said of the tyres of an axle as they are to each other."""
    return len(tyres) > 1 or (len(tyres) == 1 and tyres[0].hand is not Hand.NONE)


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
