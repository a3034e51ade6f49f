"""A random history of the register, replayed: every past moment still answers as it did then."""

from __future__ import annotations

import random
from datetime import date, timedelta

import pytest
from django.db import connection

from fitments.activities import approvals, evidence, marks, organisers, versions
from fitments.activities.versions import Said
from fitments.lookup.approvals import approvals_for
from fitments.lookup.classes import admitted_by, as_known
from fitments.lookup.spots import class_of
from fitments.models.approval import ApprovalVersion
from fitments.rules.values import IssuerKind
from inventory.ground.refusal import Refusal
from tests.factories.approvals import CompetitionClassFactory, EvidenceFactory, IssuerMarkFactory
from tests.factories.cars import VariantFactory, VehicleLineFactory
from tests.factories.people import UserFactory
from tests.factories.when import AT

pytestmark = pytest.mark.django_db

FIRST = date(2020, 1, 1)


class House:
    """People at work on the register, by chance; ``seen`` keeps what they read at each moment."""

    def __init__(self, seed):
        self.dice = random.Random(seed)
        self.line = VehicleLineFactory()
        self.who = {"by": UserFactory(), "at": AT}
        self.evidence = EvidenceFactory.create_batch(3)
        self.people = [self.who["by"], *(one.recorded_by for one in self.evidence)]
        self.mark = IssuerMarkFactory(car_maker=self.line.maker, mark="hlm")
        self.cars = VariantFactory.create_batch(4, vehicle_line=self.line)
        self.ran = CompetitionClassFactory()
        self.approvals = []
        self.seen = []

    def day(self):
        return FIRST + timedelta(days=self.dice.randint(0, 1500))

    def said(self):
        first = self.day()
        last = self.dice.choice([None, first + timedelta(days=self.dice.randint(0, 700))])
        papers = frozenset(self.dice.sample(self.evidence, self.dice.randint(0, 3)))
        return Said(valid_from=first, valid_to=last, evidence=papers)

    def record(self, by_list=None):
        number = len(self.approvals)
        makers = {"car_maker": self.line.maker, "vehicle_line": self.line, "mark": "HLM"}
        makers["mark_issue"] = str(number)
        listed = {"competition_class": self.ran, "by_list": True}
        if by_list is None:
            by_list = self.dice.random() < 0.3
        whose = listed if by_list else makers
        self.approvals.append(
            approvals.record(
                code=f"A{number}", axle=self.dice.choice(["front", "rear"]),
                size_text=f"{155 + 10 * (number % 5)} R 15", said=self.said(), **whose, **self.who,
            )
        )  # fmt: skip

    def correct(self):
        approval = self.dice.choice(self.approvals)
        version = self.dice.choice(list(approval.versions.order_by("pk")))  # often a stale one
        changes = self.dice.choice(
            [{"conditions": f"c{self.dice.random()}"}, {"valid_to": self.day()},
             {"evidence": self.said().evidence}]
        )  # fmt: skip
        approvals.correct(version=version, why="a look at the letter", **changes, **self.who)

    def withdraw(self):
        approvals.withdraw(
            approval=self.dice.choice(self.approvals), on=self.day(), why="told", **self.who
        )

    def supersede(self):
        old, new = self.dice.sample(self.approvals, 2)
        approvals.supersede(
            approval=old, successor=new, first_day=self.day(), why="bulletin", **self.who
        )

    def add_period(self):
        approvals.add_period(
            approval=self.dice.choice(self.approvals), said=self.said(), why="again", **self.who
        )

    def check(self):
        """By anybody: by who wrote it as it stands too, which is then worth less."""
        who = {"by": self.dice.choice(self.people), "at": AT}
        evidence.check(evidence=self.dice.choice(self.evidence), **who)

    def reword(self):
        paper, by = self.dice.choice(self.evidence), self.dice.choice(self.people)
        evidence.change(evidence=paper, reference=f"R{self.dice.random()}", by=by, at=AT)

    def say_of_mark(self):
        said = {
            "mixing": self.dice.choice(["", "free", "same"]),
            "old_stock": self.day().isoformat(),
        }
        marks.change_mark(issuer_mark=self.mark, **said, **self.who)

    def say_of_class(self):
        said = self.dice.choice(
            [{"age_limit_months": self.dice.choice([None, 60, 72])},
             {"buffing_allowed": self.dice.choice([None, True, False])},
             {"name": f"saloons {self.dice.random()}"}]
        )  # fmt: skip
        organisers.change_class(competition_class=self.ran, **said, **self.who)

    def admit(self):
        cars = self.dice.sample(self.cars, self.dice.randint(1, 4))
        organisers.change_class(competition_class=self.ran, variants=cars, **self.who)

    def work(self, steps, days=2):
        """So many things are tried; what is refused changes nothing, and that is checked too.

        After each that is done, the register is read for so many days.
        """
        self.record(by_list=False)
        self.record(by_list=True)
        self.look(days)
        acts = [
            self.record,
            self.correct,
            self.correct,
            self.withdraw,
            self.supersede,
            self.add_period,
            self.check,
            self.check,
            self.reword,
            self.say_of_mark,
            self.say_of_class,
            self.admit,
            self.admit,
        ]
        refused = 0
        for _ in range(steps):
            before = ApprovalVersion.objects.count()
            try:
                self.dice.choice(acts)()
            except Refusal:
                refused += 1
                assert ApprovalVersion.objects.count() == before
            else:
                self.look(days)
        return refused

    def look(self, days):
        moment = clock()
        answers = {day: self.answer(day, moment) for day in [self.day() for _ in range(days)]}
        self.seen.append((moment, answers, self.class_then(moment) if days else None))

    def answer(self, day, moment):
        """Every approval of the range and of the class, as the rules weigh them."""
        return approvals_for(
            vehicle_lines=[self.line.pk], classes=[self.ran.pk], in_force_on=day, known_on=moment
        )

    def class_then(self, moment):
        """The terms of the class, and the cars that it admits."""
        ran = as_known(self.ran, moment)
        return class_of(ran), tuple(one.code for one in admitted_by(ran))


def clock():
    with connection.cursor() as cursor:
        cursor.execute("SELECT clock_timestamp()")
        return cursor.fetchone()[0]


@pytest.mark.parametrize("seed", range(3))
def test_every_past_moment_answers_as_it_did_then(seed):
    house = House(seed)
    refused = house.work(40)
    assert 0 < refused < 40
    for moment, answers, ran in house.seen:
        assert house.class_then(moment) == ran
        for day, answer in answers.items():
            assert house.answer(day, moment) == answer
    told = [answer for _, answers, _ in house.seen for answer in answers.values()]
    facts = [fact for found in told for some in found.values() for fact in some]
    assert len({fact.basis for fact in facts}) > 1  # checks came and went meanwhile
    assert len({(fact.mark_policy, fact.old_stock) for fact in facts}) > 1  # and words of the mark
    assert {fact.issuer_kind for fact in facts} == set(IssuerKind)
    assert len({terms for _, _, (terms, _) in house.seen}) > 1
    assert len({cars for _, _, (_, cars) in house.seen}) > 1


@pytest.mark.parametrize("seed", [11, 12])
def test_at_no_moment_are_two_things_said_of_one_day(seed):
    house = House(seed)
    house.work(25, days=0)
    rows = list(ApprovalVersion.objects.order_by("approval", "pk"))
    for one in rows:
        for other in rows:
            if one.pk < other.pk and one.approval_id == other.approval_id:
                assert not (overlap(one.valid, other.valid) and overlap(one.known, other.known))


@pytest.mark.parametrize("seed", [21, 22])
def test_what_is_known_of_an_approval_has_no_gap_once_it_is_known(seed):
    house = House(seed)
    house.work(25, days=0)
    for approval in house.approvals:
        first = min(version.known.lower for version in approval.versions.all())
        for moment, _, _ in house.seen:
            if moment > first:
                known = approval.versions.filter(known__contains=moment)
                assert known.exists()
        assert versions.current([approval])[approval.pk]


def overlap(one, other):
    low = max((r.lower for r in (one, other) if r.lower is not None), default=None)
    high = min((r.upper for r in (one, other) if r.upper is not None), default=None)
    return low is None or high is None or low < high
