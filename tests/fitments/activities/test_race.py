"""Eight people at once, each on a connection of their own: one says it, seven are told why not."""

from __future__ import annotations

from datetime import date

import pytest
from django.db import connection, transaction
from django.db.backends.postgresql.psycopg_any import DateRange, DateTimeTZRange

from fitments.activities import approvals, versions
from fitments.activities.claims import CLAIMS
from fitments.activities.versions import Said
from fitments.models.approval import Approval, ApprovalVersion
from inventory.ground.refusal import Busy, Refusal, StaleVersion
from inventory.ground.retry import retried
from inventory.ground.violations import Violated, named_violation
from tests.factories.approvals import ApprovalFactory
from tests.factories.cars import VehicleLineFactory
from tests.factories.people import UserFactory
from tests.factories.when import AT
from tests.support.concurrency import at_once

pytestmark = pytest.mark.django_db(transaction=True)

EIGHT = range(8)


@pytest.fixture
def who():
    return {"by": UserFactory(), "at": AT}


def sorted_out(answers, done):
    """What succeeded and what was refused; anything else would be a traceback for somebody."""
    refused = [one for one in answers if isinstance(one, Refusal)]
    succeeded = [one for one in answers if isinstance(one, done)]
    assert len(refused) + len(succeeded) == len(answers), answers
    assert all(str(one).endswith(".") for one in refused)
    return succeeded, refused


def never_two_at_once(approval):
    """The database's own exclusion, proved once more from the rows."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT count(*) FROM fitments_approvalversion a JOIN fitments_approvalversion b "
            "ON a.approval_id = b.approval_id AND a.id < b.id AND a.valid && b.valid "
            "AND a.known && b.known WHERE a.approval_id = %s",
            [approval.pk],
        )
        assert cursor.fetchone() == (0,)


def test_one_correction_of_eight_stands_and_seven_are_stale(who):
    approval = ApprovalFactory()
    version = approval.versions.get()
    answers = at_once(
        *[
            lambda n=n: approvals.correct(version=version, why="x", conditions=f"c{n}", **who)
            for n in EIGHT
        ]
    )
    done, refused = sorted_out(answers, ApprovalVersion)
    assert len(done) == 1
    assert all(isinstance(one, StaleVersion) for one in refused)
    (now,) = versions.current([approval])[approval.pk]
    assert now.conditions == done[0].conditions
    never_two_at_once(approval)


def test_one_of_eight_overlapping_periods_is_said(who):
    approval = ApprovalFactory(version=False)
    answers = at_once(
        *[
            lambda n=n: approvals.add_period(
                approval=approval, said=Said(valid_from=date(2026, 1, 1 + n)), why="x", **who
            )
            for n in EIGHT
        ]
    )
    done, refused = sorted_out(answers, ApprovalVersion)
    assert len(done) == 1
    assert all("already said of this approval" in str(one) for one in refused)
    never_two_at_once(approval)


def test_eight_periods_that_do_not_overlap_are_all_said(who):
    approval = ApprovalFactory(version=False)
    answers = at_once(
        *[
            lambda n=n: approvals.add_period(
                approval=approval,
                said=Said(valid_from=date(2000 + n, 1, 1), valid_to=date(2000 + n, 12, 31)),
                why="x",
                **who,
            )
            for n in EIGHT
        ]
    )
    done, refused = sorted_out(answers, ApprovalVersion)
    assert (len(done), len(refused)) == (8, 0)
    never_two_at_once(approval)


def test_one_of_eight_withdraws(who):
    approval = ApprovalFactory()
    answers = at_once(
        *[lambda: approvals.withdraw(approval=approval, why="x", **who) for _ in EIGHT]
    )
    done, refused = sorted_out(answers, list)
    assert len(done) == 1
    assert all(isinstance(one, approvals.NothingInForce) for one in refused)
    assert ApprovalVersion.objects.filter(withdrawn_on__isnull=False).count() == 1


def test_one_of_eight_records_the_claim(who):
    line = VehicleLineFactory()
    answers = at_once(
        *[
            lambda n=n: approvals.record(
                code=f"C{n}", car_maker=line.maker, vehicle_line=line, axle="front",
                size_text="165 R 15", mark="HLM", said=Said(), **who,
            )
            for n in EIGHT
        ]
    )  # fmt: skip
    done, refused = sorted_out(answers, Approval)
    assert (len(done), len(refused)) == (1, 7)
    assert all("in the register already" in str(one) for one in refused)
    assert Approval.objects.count() == ApprovalVersion.objects.count() == 1


def test_of_eight_who_record_both_axles_without_a_pattern_one_records_both(who):
    """All or none: no front of one beside the rear of another."""
    line = VehicleLineFactory()
    answers = at_once(
        *[
            lambda n=n: approvals.record_each(
                code=f"C{n}", axles=["front", "rear"], car_maker=line.maker, vehicle_line=line,
                size_text="165 R 15", mark="HLM", said=Said(), **who,
            )
            for n in EIGHT
        ]
    )  # fmt: skip
    done, refused = sorted_out(answers, list)
    assert (len(done), len(refused)) == (1, 7)
    assert set(Approval.objects.all()) == set(done[0])
    assert {one.axle for one in done[0]} == {"front", "rear"}
    assert ApprovalVersion.objects.count() == 2


def test_eight_empty_periods_at_once_are_eight_sentences(who):
    approval = ApprovalFactory(version=False)
    backwards = Said(valid_from=date(2026, 2, 1), valid_to=date(2026, 1, 1))
    answers = at_once(
        *[
            lambda: approvals.add_period(approval=approval, said=backwards, why="x", **who)
            for _ in EIGHT
        ]
    )
    done, refused = sorted_out(answers, ApprovalVersion)
    assert (len(done), len(refused)) == (0, 8)
    assert not approval.versions.exists()


def test_correcting_and_withdrawing_at_once_loses_neither_sentence(who):
    approval = ApprovalFactory()
    version = approval.versions.get()
    calls = [
        lambda: approvals.withdraw(approval=approval, why="x", **who),
        lambda: approvals.correct(version=version, why="x", conditions="front", **who),
    ] * 4
    sorted_out(at_once(*calls), (ApprovalVersion, list))
    (now,) = versions.current([approval])[approval.pk]
    assert now.withdrawn_on is not None
    never_two_at_once(approval)


def test_two_superseding_each_other_end_in_words_not_in_a_deadlock(who):
    one, other = ApprovalFactory(), ApprovalFactory(mark_issue="9")
    calls = [
        lambda: approvals.supersede(approval=one, successor=other, why="x", **who),
        lambda: approvals.supersede(approval=other, successor=one, why="x", **who),
    ] * 4
    sorted_out(at_once(*calls), list)
    never_two_at_once(one)
    never_two_at_once(other)


def test_the_same_sheet_of_claims_from_eight_people(who):
    line = VehicleLineFactory()
    rows = [
        {"code": f"C{n}", "car_maker": line.maker, "vehicle_line": line, "axle": "front",
         "size_text": "165 R 15", "mark": f"M{n}", "said": Said()}
        for n in range(5)
    ]  # fmt: skip
    answers = at_once(*[lambda: retried(lambda: CLAIMS.enter(rows, **who)) for _ in EIGHT])
    sorted_out(answers, list)
    assert Approval.objects.count() == ApprovalVersion.objects.count() == 5


def test_whoever_passes_the_lock_by_meets_the_constraint_in_words(who):
    """Raw writers: the exclusion constraint alone, whose waiting ends in violations and 40P01."""
    approval = ApprovalFactory(version=False)

    def write(n):
        with transaction.atomic(), named_violation():
            return ApprovalVersion.objects.create(
                approval=approval,
                valid=DateRange(date(2026, 1, 1 + n), None),
                known=DateTimeTZRange(AT, None),
                recorded_by=who["by"],
            )

    answers = at_once(*[lambda n=n: retried(lambda: write(n)) for n in EIGHT])
    done, refused = sorted_out(answers, ApprovalVersion)
    assert len(done) == 1
    assert all(isinstance(one, Violated | Busy) for one in refused)
    never_two_at_once(approval)
