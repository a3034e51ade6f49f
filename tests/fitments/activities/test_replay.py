"""A random history of the register, replayed: every past moment still answers as it did then."""

from __future__ import annotations

import random
from datetime import date, timedelta

import pytest
from django.db import connection

from fitments.activities import approvals, evidence, marks, versions
from fitments.activities.versions import Said
from fitments.lookup.approvals import approvals_for
from fitments.models.approval import ApprovalVersion
from inventory.ground.refusal import Refusal
from tests.factories.approvals import EvidenceFactory, IssuerMarkFactory
from tests.factories.cars import VehicleLineFactory
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
        self.approvals = []
        self.seen = []

    def day(self):
        return FIRST + timedelta(days=self.dice.randint(0, 1500))

    def said(self):
        first = self.day()
        last = self.dice.choice([None, first + timedelta(days=self.dice.randint(0, 700))])
        papers = frozenset(self.dice.sample(self.evidence, self.dice.randint(0, 3)))
        return Said(valid_from=first, valid_to=last, evidence=papers)

    def record(self):
        number = len(self.approvals)
        self.approvals.append(
            approvals.record(
                code=f"A{number}", car_maker=self.line.maker, vehicle_line=self.line,
                axle=self.dice.choice(["front", "rear"]), size_text="165 R 15", mark="HLM",
                mark_issue=str(number), said=self.said(), **self.who,
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

    def work(self, steps):
        """So many things are tried; what is refused changes nothing, and that is checked too."""
        self.record()
        self.record()
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
        ]
        refused = 0
        for _ in range(steps):
            before = ApprovalVersion.objects.count()
            try:
                self.dice.choice(acts)()
            except Refusal:
                refused += 1
                assert ApprovalVersion.objects.count() == before
            self.look()
        return refused

    def look(self):
        moment = clock()
        days = [self.day() for _ in range(3)]
        self.seen.append((moment, {day: self.answer(day, moment) for day in days}))

    def answer(self, day, moment):
        found = approvals_for(vehicle_lines=[self.line.pk], in_force_on=day, known_on=moment)
        return found.get(("range", self.line.pk), ())


def clock():
    with connection.cursor() as cursor:
        cursor.execute("SELECT clock_timestamp()")
        return cursor.fetchone()[0]


@pytest.mark.parametrize("seed", range(3))
def test_every_past_moment_answers_as_it_did_then(seed):
    house = House(seed)
    refused = house.work(40)
    assert 0 < refused < 40
    for moment, answers in house.seen:
        for day, answer in answers.items():
            assert house.answer(day, moment) == answer
    told = {fact.basis for _, answers in house.seen for facts in answers.values() for fact in facts}
    assert len(told) > 1  # checks came and went meanwhile


@pytest.mark.parametrize("seed", [11, 12])
def test_at_no_moment_are_two_things_said_of_one_day(seed):
    house = House(seed)
    house.work(25)
    rows = list(ApprovalVersion.objects.order_by("approval", "pk"))
    for one in rows:
        for other in rows:
            if one.pk < other.pk and one.approval_id == other.approval_id:
                assert not (overlap(one.valid, other.valid) and overlap(one.known, other.known))


@pytest.mark.parametrize("seed", [21, 22])
def test_what_is_known_of_an_approval_has_no_gap_once_it_is_known(seed):
    house = House(seed)
    house.work(25)
    for approval in house.approvals:
        first = min(version.known.lower for version in approval.versions.all())
        for moment, _ in house.seen:
            if moment > first:
                known = approval.versions.filter(known__contains=moment)
                assert known.exists()
        assert versions.current([approval])[approval.pk]


def overlap(one, other):
    low = max((r.lower for r in (one, other) if r.lower is not None), default=None)
    high = min((r.upper for r in (one, other) if r.upper is not None), default=None)
    return low is None or high is None or low < high
