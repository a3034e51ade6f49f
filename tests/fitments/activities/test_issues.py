"""A new issue supersedes the old from a day, per pattern, size and range, all or nothing."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from fitments.activities import issues, marks
from fitments.lookup.approvals import approvals_for
from fitments.lookup.issues import NewIssue, changes_by, code_for
from fitments.models.approval import Approval, ApprovalVersion
from fitments.rules.conditions import fact_outcome
from fitments.rules.values import Market, Outcome, Terms, Use
from inventory.ground.entries.faults import Faulty
from inventory.markings import read_size, search_keys
from tests.factories.approvals import ApprovalFactory, EvidenceFactory, IssuerMarkFactory
from tests.factories.cars import VehicleLineFactory
from tests.factories.catalogue import PatternFactory
from tests.factories.people import UserFactory
from tests.factories.when import AT
from tests.fitments.rules.making import tyre
from tests.support.concurrency import at_once
from tests.support.counting import queries_of

DAY = date(2026, 7, 1)
KEYS = tuple(search_keys(read_size("165 R 15")))


@pytest.fixture
def line(db):
    return VehicleLineFactory()


@pytest.fixture
def old(line):
    """Front and rear of two sizes, and one of another range, all issue 2 of one maker's mark."""
    other = VehicleLineFactory(maker=line.maker)
    return [
        ApprovalFactory(code="HLM-2-F", vehicle_line=line),
        ApprovalFactory(code="HLM-2-R", vehicle_line=line, rear=True),
        ApprovalFactory(code="SMALL-F", vehicle_line=line, size_text="165 R 15"),
        ApprovalFactory(code="OTHER-2-F", vehicle_line=other),
    ]


def asked(line, **more):
    told = {"mark": "hlm", "old_issue": "2", "new_issue": "3", "first_day": DAY}
    return NewIssue(car_maker=line.maker, **(told | more))


def bring_in(line, evidence=(), why="bulletin 12", **more):
    return issues.bring_in(
        asked=asked(line, **more), evidence=evidence, why=why, by=UserFactory(), at=AT
    )


def now(approval):
    return ApprovalVersion.objects.get(approval=approval, known__upper_inf=True)


@pytest.mark.django_db
class TestBringIn:
    def test_every_approval_of_the_issue(self, line, old):
        letter = EvidenceFactory()
        done = bring_in(line, [letter])
        assert [(was.code, later.code) for was, later in done.pairs] == [
            ("HLM-2-F", "HLM-3-F"),
            ("HLM-2-R", "HLM-3-R"),
            ("OTHER-2-F", "OTHER-3-F"),
            ("SMALL-F", "SMALL-3-F"),
        ]
        assert done.recorded == 4
        for was, later in done.pairs:
            ended, begun = now(was), now(later)
            assert (ended.superseded_by, ended.valid.upper) == (later, DAY)
            assert (begun.valid.lower, begun.valid.upper) == (DAY, None)
            assert list(begun.evidence.all()) == [letter]
            for name in ("vehicle_line", "axle", "size", "pattern", "compound", "mark"):
                assert getattr(later, name) == getattr(was, name)
            assert later.mark_issue == "3"
        assert len({now(was).known.lower for was, _ in done.pairs}) == 1  # at one moment

    @pytest.mark.parametrize(
        ("narrowed", "codes"),
        [
            ({"size_keys": KEYS}, ["SMALL-F"]),
            ({"vehicle_line": True}, ["HLM-2-F", "HLM-2-R", "SMALL-F"]),
        ],
        ids=["one size", "one range"],
    )
    def test_for_one_size_or_range(self, line, old, narrowed, codes):
        if "vehicle_line" in narrowed:
            narrowed = {"vehicle_line": line}
        done = bring_in(line, **narrowed)
        assert [was.code for was, _ in done.pairs] == codes
        assert Approval.objects.count() == len(old) + len(codes)

    def test_for_one_pattern(self, line, old):
        pattern = PatternFactory()
        ApprovalFactory(code="PAT-2", vehicle_line=line, pattern=pattern)
        done = bring_in(line, pattern=pattern)
        assert [later.code for _, later in done.pairs] == ["PAT-3"]

    def test_one_that_is_there_already_is_taken_as_it_stands(self, line, old):
        there = ApprovalFactory(code="BY-HAND", vehicle_line=line, mark_issue="3")
        said = now(there)
        done = bring_in(line, vehicle_line=line)
        assert {was.code: later.code for was, later in done.pairs}["HLM-2-F"] == "BY-HAND"
        assert now(there) == said
        assert done.recorded == 2

    def test_what_was_withdrawn_or_came_later_stays_as_it_is(self, line):
        gone = ApprovalFactory(code="GONE-2", vehicle_line=line, withdrawn=True)
        with pytest.raises(
            issues.NothingOfThatIssue, match="issue 2 is in force before 2026-07-01"
        ):
            bring_in(line)
        assert gone.versions.count() == 1
        assert Approval.objects.count() == 1

    def test_all_or_nothing(self, line, old):
        ApprovalFactory(code="HLM-3-R", size_text="205/70 R 15")  # the code is taken
        before = ApprovalVersion.objects.count(), Approval.objects.count()
        with pytest.raises(Faulty, match="another approval under the code HLM-3-R"):
            bring_in(line)
        assert (ApprovalVersion.objects.count(), Approval.objects.count()) == before

    @pytest.mark.parametrize(
        ("more", "field", "words"),
        [
            ({"new_issue": "2"}, "new_issue", "cannot take its own place"),
            ({"new_issue": " "}, "new_issue", "Say which issue"),
            ({"why": " "}, "why", "Say why"),
        ],
    )
    def test_what_is_refused(self, line, old, more, field, words):
        with pytest.raises(Faulty, match=words) as caught:
            bring_in(line, **more)
        assert caught.value.field == field

    def test_a_range_of_another_maker(self, line, old):
        with pytest.raises(Faulty, match="is not a model range of"):
            bring_in(line, vehicle_line=VehicleLineFactory())

    def test_reading_it_costs_the_same_for_more(self, line, old):
        few = queries_of(lambda: changes_by(asked(line)))
        ApprovalFactory(code="MORE-2", vehicle_line=line, size_text="205/70 R 15")
        assert queries_of(lambda: changes_by(asked(line))) == few == 2

    def test_old_stock_is_told_in_the_issuer_s_words(self, line, old):
        mark = IssuerMarkFactory(car_maker=line.maker, mark="HLM")
        who = {"by": UserFactory(), "at": AT}
        marks.change_mark(issuer_mark=mark, old_stock="May be sold until 2028.", **who)
        bring_in(line)
        moment = now(old[0]).known.lower + timedelta(seconds=1)
        found = approvals_for(vehicle_lines=[line.pk], in_force_on=DAY, known_on=moment)
        fact = next(one for one in found["range", line.pk] if one.code == "HLM-2-F")
        terms = Terms(use=Use.ROAD, market=Market.GB, on=DAY)
        outcome, words, _ = fact_outcome(fact, tyre(mark="HLM", mark_issue="2"), terms)
        assert outcome is Outcome.CAUTION
        assert "superseded since 1 July 2026 by HLM issue 3" in words
        assert "says of them: May be sold until 2028." in words


@pytest.mark.parametrize(
    ("code", "old", "new", "found"),
    [
        ("HLM-SPR-2-F", "2", "3", "HLM-SPR-3-F"),
        ("HLM-SPR-2", "2", "3", "HLM-SPR-3"),
        ("LETTER-R", "2", "3", "LETTER-3-R"),
        ("MARK-12-f", "2", "3", "MARK-12-3-f"),
        ("PLAIN", "", "2", "PLAIN-2"),
    ],
)
def test_the_code_of_the_later(code, old, new, found):
    assert code_for(code, old, new) == found


@pytest.mark.django_db(transaction=True)
def test_of_eight_who_bring_it_in_at_once_one_does():
    line = VehicleLineFactory()
    old = ApprovalFactory(code="HLM-2-F", vehicle_line=line)
    who = UserFactory()
    answers = at_once(
        *[
            lambda: issues.bring_in(asked=asked(line), why="bulletin", by=who, at=AT)
            for _ in range(8)
        ]
    )
    done = [one for one in answers if isinstance(one, issues.Superseded)]
    assert len(done) == 1, answers
    assert sum(isinstance(one, issues.NothingOfThatIssue) for one in answers) == 7
    assert now(old).superseded_by.code == "HLM-3-F"
    assert Approval.objects.count() == 2
