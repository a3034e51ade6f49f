"""What was known of documents, marks, results and classes at any moment, kept by the database."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest
from django.db import connection

from fitments.activities import evidence, marks, organisers, results
from fitments.lookup.classes import admitted_by, as_known
from fitments.lookup.papers import basis_of, known_papers
from fitments.models.evidence import Evidence, EvidenceVersion
from fitments.models.mark import IssuerMarkVersion
from fitments.models.organiser import CompetitionClass, CompetitionClassVersion
from fitments.models.test_report import TestResultVersion
from fitments.rules.values import Basis
from inventory.ground.entries.faults import Faulty
from inventory.ground.refusal import StaleVersion
from inventory.ground.violations import Violated, named_violation
from tests.factories.approvals import (
    CompetitionClassFactory,
    EvidenceFactory,
    IssuerMarkFactory,
    TestResultFactory,
)
from tests.factories.cars import VariantFactory
from tests.factories.catalogue import SkuFactory
from tests.factories.people import UserFactory
from tests.factories.when import EARLIER
from tests.support.concurrency import at_once
from tests.support.counting import queries_of


def clock():
    """The database's own, as versions have it."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT clock_timestamp()")
        return cursor.fetchone()[0]


def worth(paper, moment):
    return basis_of(known_papers(moment).filter(pk=paper.pk), moment)


@pytest.fixture
def clerk(db):
    return UserFactory()


@pytest.fixture
def owner(db):
    return UserFactory()


@pytest.fixture
def letter(clerk):
    return EvidenceFactory(recorded_by=clerk)


class TestEvidence:
    def test_what_it_was_worth_at_every_moment(self, letter, clerk, owner):
        at = clock()
        moments = [clock()]
        evidence.check(evidence=letter, by=clerk, at=at)
        moments.append(clock())
        evidence.check(evidence=letter, by=owner, at=at)
        moments.append(clock())
        evidence.change(evidence=letter, says="Issue 3.", why="misread", by=owner, at=at)
        moments.append(clock())
        evidence.check(evidence=letter, by=owner, at=at)  # who wrote it as it stands
        moments.append(clock())
        evidence.check(evidence=letter, by=clerk, at=at)
        moments.append(clock())
        assert [worth(letter, moment) for moment in moments] == [
            Basis.CLAIMED,
            Basis.SELF_CHECKED,
            Basis.CHECKED,
            Basis.CLAIMED,
            Basis.SELF_CHECKED,
            Basis.CHECKED,
        ]
        assert worth(letter, EARLIER - timedelta(days=1)) is Basis.NONE

    def test_who_wrote_it_why_and_what_it_said_before(self, letter, clerk, owner):
        evidence.change(evidence=letter, issuer="Hallmere", why="letterhead", by=owner, at=clock())
        first, second = letter.versions.order_by("pk")
        assert (first.issuer, first.written_by, first.why) == (letter.issuer, clerk, "")
        assert (second.issuer, second.written_by, second.why) == ("Hallmere", owner, "letterhead")
        assert first.known.lower == EARLIER
        assert first.known.upper == second.known.lower
        assert second.known.upper is None
        (then,) = known_papers(first.known.lower)
        assert then.then_issuer == letter.issuer

    def test_a_reason_belongs_to_its_change(self, letter, owner):
        evidence.change(evidence=letter, says="a", why="because", by=owner, at=clock())
        evidence.change(evidence=letter, says="b", by=owner, at=clock())
        assert [one.why for one in letter.versions.order_by("pk")] == ["", "because", ""]

    def test_nothing_said_is_no_version(self, letter, owner):
        evidence.change(evidence=letter, says=letter.says, by=owner, at=clock())
        assert letter.versions.count() == 1

    def test_what_somebody_looked_at_has_to_be_what_is_known(self, letter, owner):
        seen = evidence.version_of(letter)
        evidence.change(evidence=letter, seen=seen, says="a", by=owner, at=clock())
        with pytest.raises(StaleVersion):
            evidence.change(evidence=letter, seen=seen, says="b", by=owner, at=clock())
        with pytest.raises(StaleVersion):
            evidence.check(evidence=letter, seen=seen, by=owner, at=clock())
        assert letter.versions.count() == 2

    def test_what_it_says_is_read(self, letter, owner):
        changed = evidence.change(
            evidence=letter, sizes=["185/70r15"], marks=["HLM 2"], axles=["front"],
            by=owner, at=clock(),
        )  # fmt: skip
        assert (changed.sizes, changed.marks, changed.axles) == (
            ["185/70 R 15"],
            ["HLM 2"],
            ["front"],
        )

    @pytest.mark.parametrize(
        ("values", "words"),
        [
            ({"sizes": ["round"]}, "cannot be read"),
            ({"axles": ["middle"]}, "not a valid choice"),
            ({"model_ranges": ["NOWHERE"]}, "There is no model range NOWHERE"),
        ],
    )
    def test_what_it_cannot_say(self, letter, owner, values, words):
        with pytest.raises(Faulty, match=words):
            evidence.change(evidence=letter, **values, by=owner, at=clock())


@pytest.mark.django_db
class TestTheDatabaseKeepsThem:
    """Whoever writes, and however."""

    def test_plain_sql_leaves_a_version_as_well(self, letter):
        Evidence.objects.filter(pk=letter.pk).update(says="quietly")
        assert [one.says for one in letter.versions.order_by("pk")] == [letter.says, "quietly"]

    @pytest.mark.parametrize(
        "work",
        [
            lambda: EvidenceVersion.objects.update(says="never said"),
            lambda: EvidenceVersion.objects.all()._raw_delete("default"),
            lambda: EvidenceVersion.objects.filter(pk__gt=0).update(known=None),
            lambda: truncated(),
        ],
        ids=["changed", "deleted", "opened", "emptied"],
    )
    def test_versions_are_nobody_s_to_write(self, letter, work):
        with pytest.raises(Violated, match="never edited"), named_violation():
            work()

    def test_nor_to_add(self, letter):
        kept = letter.versions.get()
        kept.pk = None
        kept.says = "as if it had been known"
        with pytest.raises(Violated, match="never edited"), named_violation():
            kept.save()

    def test_a_document_is_not_deleted(self, letter):
        with pytest.raises(Violated, match="cannot be deleted: 1 version of evidence"):
            refused_deletion(letter)

    def test_a_clock_set_back_goes_never_before_what_is_known(self, letter, owner):
        ahead = datetime(2040, 1, 1, tzinfo=UTC)
        with connection.cursor() as cursor:  # as if the clock had been ahead
            cursor.execute("SET LOCAL session_replication_role = replica")
            cursor.execute(
                "UPDATE fitments_evidenceversion SET known = tstzrange(%s, NULL)", [ahead]
            )
            cursor.execute("SET LOCAL session_replication_role = origin")
        evidence.change(evidence=letter, says="later", by=owner, at=clock())
        first, second = letter.versions.order_by("pk")
        assert second.known.lower == ahead + timedelta(microseconds=1) == first.known.upper

    def test_versions_follow_one_another_without_a_gap(self, letter, owner):
        for number in range(20):
            evidence.change(evidence=letter, says=str(number), by=owner, at=clock())
        for earlier, later in pairwise(letter.versions.order_by("pk")):
            assert earlier.known.lower < earlier.known.upper == later.known.lower

    def test_one_query_however_many_papers(self):
        EvidenceFactory.create_batch(3)
        assert queries_of(lambda: list(known_papers(EARLIER))) == 1


def refused_deletion(row):
    with named_violation():
        row.delete()


def truncated():
    with connection.cursor() as cursor:
        cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")  # what is pending would be told first
        cursor.execute("TRUNCATE fitments_evidenceversion")


class TestOthers:
    def test_a_mark(self, owner):
        mark = IssuerMarkFactory(mixing="")
        marks.change_mark(issuer_mark=mark, mixing="same", why="bulletin", by=owner, at=clock())
        kept = IssuerMarkVersion.objects.filter(issuer_mark=mark).order_by("pk")
        assert [(one.mixing, one.why) for one in kept] == [("", ""), ("same", "bulletin")]

    def test_a_mark_is_there_once_whatever_its_capitals(self, owner):
        mark = IssuerMarkFactory()
        with pytest.raises(Faulty, match="is there already"):
            marks.make_mark(car_maker=mark.car_maker, mark="hlm", by=owner, at=clock())

    def test_a_result(self, owner):
        result = TestResultFactory()
        results.change_result(
            test_result=result, withdrawn=True, why="printed wrong", by=owner, at=clock()
        )
        kept = TestResultVersion.objects.filter(test_result=result).order_by("pk")
        assert [(one.withdrawn, one.written_by_id) for one in kept] == [
            (False, result.written_by_id),
            (True, owner.pk),
        ]

    @pytest.mark.parametrize(
        ("values", "words"),
        [
            ({"result": None, "unit": "", "rank": None, "out_of": None}, "Give the result, or"),
            ({"unit": ""}, "has a unit"),
            ({"result": None}, "a unit belongs to a result"),
            ({"rank": 10}, "at most of how many"),
            ({"rank": 0}, "1 or more"),
            ({"rank": None}, "1 or more"),
        ],
    )
    def test_what_a_result_cannot_be(self, owner, values, words):
        said = {"result": 47, "unit": "m", "rank": 2, "out_of": 9} | values
        report = EvidenceFactory(test_report=True)
        with pytest.raises(Faulty, match=words):
            results.record_result(
                evidence=report, sku=SkuFactory(), discipline="wet", **said, by=owner, at=clock()
            )

    def test_only_a_report_of_a_test_has_results(self, owner, letter):
        with pytest.raises(Faulty, match="is no test report"):
            results.record_result(
                evidence=letter, sku=SkuFactory(), discipline="wet", rank=1, by=owner, at=clock()
            )

    def test_a_class(self, owner):
        row = CompetitionClassFactory(age_limit_months=60)
        organisers.change_class(competition_class=row, age_limit_months=72, by=owner, at=clock())
        kept = CompetitionClassVersion.objects.filter(competition_class=row).order_by("pk")
        assert [one.age_limit_months for one in kept] == [60, 72]


@pytest.mark.django_db(transaction=True)
def test_eight_writers_at_once_leave_eight_versions_one_after_the_other():
    letter, who = EvidenceFactory(), UserFactory()
    answers = at_once(
        *[
            lambda n=n: evidence.change(evidence=letter, says=f"s{n}", by=who, at=EARLIER)
            for n in range(8)
        ]
    )
    assert all(isinstance(one, Evidence) for one in answers), answers
    kept = list(letter.versions.order_by("known"))
    assert len(kept) == 9
    for earlier, later in pairwise(kept):
        assert earlier.known.lower < earlier.known.upper == later.known.lower
    letter.refresh_from_db()
    assert kept[-1].says == letter.says


@pytest.mark.django_db(transaction=True)
def test_of_eight_who_looked_at_the_same_one_changes_it():
    letter, who = EvidenceFactory(), UserFactory()
    seen = evidence.version_of(letter)
    answers = at_once(
        *[
            lambda n=n: evidence.change(
                evidence=letter, seen=seen, says=f"s{n}", by=who, at=EARLIER
            )
            for n in range(8)
        ]
    )
    assert sum(isinstance(one, Evidence) for one in answers) == 1
    assert sum(isinstance(one, StaleVersion) for one in answers) == 7


@pytest.mark.django_db
class TestAdmittedCars:
    """Which cars a class admitted is known for every moment, whoever wrote it."""

    def cars_at(self, row, moment):
        return [one.code for one in admitted_by(as_known(row, moment))]

    def test_at_every_moment(self, owner):
        first, second, third = (VariantFactory(code=code) for code in ("A", "B", "C"))
        row = CompetitionClassFactory(variants=[first])
        moments = [clock()]
        organisers.change_class(
            competition_class=row, variants=[first, second], by=owner, at=clock()
        )
        moments.append(clock())
        row.variants.set([third])  # not by an activity
        moments.append(clock())
        organisers.change_class(competition_class=row, age_limit_months=72, by=owner, at=clock())
        moments.append(clock())
        found = [self.cars_at(row, moment) for moment in moments]
        assert found == [["A"], ["A", "B"], ["C"], ["C"]]
        limits = [as_known(row, moment).age_limit_months for moment in moments]
        assert limits == [60, 60, 60, 72]
        assert self.cars_at(row, EARLIER) == []  # as it was known first
        assert as_known(None, EARLIER) is None

    def test_cars_that_stay_leave_no_version(self, owner):
        car = VariantFactory()
        row = CompetitionClassFactory(variants=[car])
        before = row.versions.count()
        organisers.change_class(competition_class=row, variants=[car], by=owner, at=clock())
        assert row.versions.count() == before

    def test_a_car_is_not_turned_into_another(self):
        row = CompetitionClassFactory(variants=[VariantFactory()])
        links = CompetitionClass.variants.through.objects
        with pytest.raises(Violated, match="take one off the class"), named_violation():
            links.filter(competitionclass=row).update(variant=VariantFactory())

    def test_the_row_that_was_asked_about_stays_as_it_is(self, owner):
        row = CompetitionClassFactory(age_limit_months=60)
        moment = clock()
        changed = organisers.change_class(
            competition_class=row, age_limit_months=None, by=owner, at=clock()
        )
        assert as_known(changed, moment).age_limit_months == 60
        assert changed.age_limit_months is None
        assert queries_of(lambda: as_known(changed, moment)) == 1


@pytest.mark.django_db(transaction=True)
def test_eight_who_admit_a_car_each_are_all_seen_by_the_last():
    row, cars = CompetitionClassFactory(), VariantFactory.create_batch(8)
    through = CompetitionClass.variants.through
    at_once(
        *[
            lambda car=car: through.objects.create(competitionclass_id=row.pk, variant_id=car.pk)
            for car in cars
        ]
    )
    row.refresh_from_db()
    assert row.admitted == sorted(car.pk for car in cars)
    kept = list(row.versions.order_by("known"))
    assert kept[-1].admitted == row.admitted
    assert [len(one.admitted) for one in kept] == list(range(9))
