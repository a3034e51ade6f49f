"""What the database holds of versions, whoever writes: triggers, clock, constraints."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from itertools import pairwise

import pytest
from django.db import connection, transaction
from django.db.backends.postgresql.psycopg_any import DateRange, DateTimeTZRange

from fitments.activities import approvals, versions
from fitments.activities.versions import Said
from fitments.models.approval import Approval, ApprovalVersion
from inventory.ground.violations import Violated, named_violation
from tests.factories.approvals import ApprovalFactory, ApprovalVersionFactory, EvidenceFactory
from tests.factories.people import UserFactory
from tests.support.counting import queries_of

pytestmark = pytest.mark.django_db


def refused(work):
    """The sentence with which the database refuses."""
    with pytest.raises(Violated) as refusal, named_violation():
        work()
    return str(refusal.value)


def plain_sql(statement):
    with connection.cursor() as cursor:
        cursor.execute(statement)


class TestTriggers:
    @pytest.mark.parametrize(
        "change",
        [
            {"conditions": "other"},
            {"valid": DateRange(date(2020, 1, 1), None)},
            {"withdrawn_on": date(2026, 1, 1)},
            {"why": "because"},
            {"known": DateTimeTZRange(datetime(2020, 1, 1, tzinfo=UTC), None)},
            {"known": DateTimeTZRange(None, datetime(2030, 1, 1, tzinfo=UTC))},
        ],
    )
    def test_a_version_is_never_edited(self, record, change):
        version = record().versions.get()
        rows = ApprovalVersion.objects.filter(pk=version.pk)
        assert "is never edited: record a correction" in refused(lambda: rows.update(**change))
        assert Said.of(ApprovalVersion.objects.get()) == Said.of(version)

    def test_it_is_closed_once_and_never_opened_again(self, record):
        version = record().versions.get()
        lower = version.known.lower
        rows = ApprovalVersion.objects.filter(pk=version.pk)
        rows.update(known=DateTimeTZRange(lower, lower + timedelta(hours=1)))
        for known in (
            DateTimeTZRange(lower, None),
            DateTimeTZRange(lower, lower + timedelta(hours=2)),
        ):
            assert "is never edited" in refused(lambda known=known: rows.update(known=known))

    def test_an_empty_period_of_knowledge_is_refused(self, record):
        version = record().versions.get()
        rows = ApprovalVersion.objects.filter(pk=version.pk)
        nothing = DateTimeTZRange(version.known.lower, version.known.lower)
        assert "is never edited" in refused(lambda: rows.update(known=nothing))

    def test_it_is_never_deleted(self, record):
        version = record().versions.get()
        assert "record a correction" in refused(version.delete)  # its evidence comes first
        assert "never taken back" in refused(
            lambda: ApprovalVersion._base_manager.all()._raw_delete("default")
        )

    @pytest.mark.parametrize(
        "table", ["fitments_approvalversion", "fitments_approvalversion_evidence"]
    )
    def test_the_tables_are_never_emptied(self, table):
        assert "never taken back" in refused(lambda: plain_sql(f"TRUNCATE {table} CASCADE"))

    def test_plain_sql_is_refused_as_well(self, record):
        record()
        change = "UPDATE fitments_approvalversion SET conditions = 'x'"
        assert "is never edited" in refused(lambda: plain_sql(change))

    def test_what_an_approval_is_about_never_changes(self, record):
        approval = record()
        assert "withdraw it with the reason" in refused(
            lambda: Approval.objects.filter(pk=approval.pk).update(mark_issue="3")
        )
        assert "withdraw it with the reason" in refused(
            lambda: Approval.objects.all()._raw_delete("default")
        )


@pytest.mark.django_db(transaction=True)
class TestEvidence:
    """Each test commits: what a version rests on is told in the transaction that made it."""

    def test_evidence_joins_no_version_that_is_said_already(self):
        version = ApprovalVersionFactory(approval=ApprovalFactory(version=False))
        other = EvidenceFactory()
        assert "is never edited" in refused(lambda: version.evidence.add(other))
        assert not version.evidence.exists()

    def test_evidence_is_never_taken_from_a_version(self):
        version = ApprovalVersionFactory(approval=ApprovalFactory(version=False), evidence=[])
        with transaction.atomic():
            held = ApprovalVersionFactory(
                approval=ApprovalFactory(version=False), evidence=[EvidenceFactory()]
            )
        assert "is never edited" in refused(held.evidence.clear)
        through = ApprovalVersion.evidence.through.objects
        assert "is never edited" in refused(lambda: through.update(approvalversion_id=version.pk))
        assert held.evidence.count() == 1

    def test_a_rolled_back_version_leaves_no_way_in(self):
        other = EvidenceFactory()
        version = ApprovalVersionFactory(approval=ApprovalFactory(version=False))
        with transaction.atomic():
            with transaction.atomic():
                ApprovalVersionFactory(approval=ApprovalFactory(version=False))
                transaction.set_rollback(True)
            assert "is never edited" in refused(lambda: version.evidence.add(other))


class TestConstraints:
    def test_two_things_are_never_said_of_one_day(self, record):
        approval = record()
        assert "already said of this approval" in refused(
            lambda: ApprovalVersionFactory(
                approval=approval, valid=DateRange(date(2026, 1, 1), date(2026, 1, 2)),
                known=DateTimeTZRange(datetime(2040, 1, 1, tzinfo=UTC), None),
            )
        )  # fmt: skip

    @pytest.mark.parametrize(
        "ranges",
        [
            {"valid": DateRange(date(2026, 1, 1), date(2026, 1, 1))},
            {"known": DateTimeTZRange(empty=True)},
        ],
    )
    def test_a_period_has_some_days(self, ranges):
        approval = ApprovalFactory(version=False)
        assert refused(lambda: ApprovalVersionFactory(approval=approval, **ranges)) == (
            "The last day cannot come before the first."
        )

    def test_it_was_not_known_for_ever(self):
        approval = ApprovalFactory(version=False)
        assert "known from the moment it was recorded" in refused(
            lambda: ApprovalVersionFactory(approval=approval, known=DateTimeTZRange(None, None))
        )

    def test_it_is_for_one_axle(self):
        """“Both” beside “front” would be a way round every other constraint."""
        with pytest.raises(Violated, match="for both, record two"), named_violation():
            ApprovalFactory(axle="both")

    def test_without_a_pattern_it_is_claimed_once_all_the_same(self):
        first = ApprovalFactory(version=False)
        assert (first.pattern, first.compound) == (None, None)
        with pytest.raises(Violated, match="in the register already"), named_violation():
            ApprovalFactory(version=False, vehicle_line=first.vehicle_line)

    def test_it_is_not_superseded_by_itself(self):
        approval = ApprovalFactory(version=False)
        assert "cannot supersede itself" in refused(
            lambda: ApprovalVersionFactory(approval=approval, superseded_by=approval)
        )


class TestClock:
    def test_known_is_the_time_of_the_database_within_the_transaction(self, record, who):
        """Not the time at which the transaction began, or a slower writer would come too early."""
        with connection.cursor() as cursor:
            cursor.execute("SELECT now(), clock_timestamp()")
            began, before = cursor.fetchone()
        version = record().versions.get()
        with connection.cursor() as cursor:
            cursor.execute("SELECT clock_timestamp()")
            (after,) = cursor.fetchone()
        assert began <= before < version.known.lower < after

    def test_a_clock_set_back_never_goes_before_what_is_known(self, who):
        ahead = datetime(2040, 1, 1, tzinfo=UTC)
        approval = ApprovalFactory(version__known=DateTimeTZRange(ahead, None))
        old = approval.versions.get()
        new = approvals.correct(version=old, why="x", conditions="y", **who)
        assert new.known.lower == ahead + timedelta(microseconds=1)
        old.refresh_from_db()
        assert old.known.upper == new.known.lower

    def test_many_corrections_follow_one_another(self, record, who):
        approval = record()
        for number in range(20):
            (version,) = versions.current([approval])[approval.pk]
            approvals.correct(version=version, why="x", conditions=str(number), **who)
        rows = list(ApprovalVersion.objects.order_by("pk"))
        for earlier, later in pairwise(rows):
            assert earlier.known.lower < earlier.known.upper == later.known.lower


class TestBulk:
    def test_the_number_of_queries_does_not_grow(self, who):
        by = UserFactory()

        def replaced(count):
            made = ApprovalFactory.create_batch(count)
            evidence = frozenset(EvidenceFactory.create_batch(2, recorded_by=by))
            said = [(one, Said(valid_from=date(2020, 1, 1), evidence=evidence)) for one in made]

            def work():
                versions.lock(made)
                held = versions.current(made)
                closed = [version for one in made for version in held[one.pk]]
                versions.replace(closed, said, why="x", by=by)

            return queries_of(work)

        assert replaced(3) == replaced(12) == 8

    def test_approvals_are_locked_in_one_order(self):
        one, other = ApprovalFactory(), ApprovalFactory()
        with transaction.atomic():
            assert queries_of(lambda: versions.lock([other, one])) == 1
