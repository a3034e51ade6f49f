"""Approvals: recorded, corrected, superseded, withdrawn; what was said before stays said."""

from __future__ import annotations

from datetime import date

import pytest

from fitments.activities import approvals, versions
from fitments.activities.versions import Said
from fitments.lookup.approvals import approvals_for
from fitments.models.approval import Approval, ApprovalVersion
from inventory.ground.entries.faults import Faulty
from inventory.ground.refusal import StaleVersion
from inventory.ground.violations import Violated
from tests.factories.approvals import CompetitionClassFactory, EvidenceFactory
from tests.factories.cars import VehicleLineFactory
from tests.factories.catalogue import CompoundFactory, PatternFactory

MAY, JUNE, JULY = date(2026, 5, 1), date(2026, 6, 1), date(2026, 7, 1)
WHY = "bulletin 12 says so"


def now_said(approval):
    """The versions of an approval that are said now, in the order of their days."""
    held = versions.current([approval]).get(approval.pk, [])
    return sorted((Said.of(one) for one in held), key=lambda said: said.valid_from)


def history(approval):
    """Every version there ever was: whether it is closed, and what it says."""
    rows = ApprovalVersion.objects.filter(approval=approval).order_by("pk")
    return [(row.known.upper is not None, Said.of(row)) for row in rows]


class TestRecord:
    def test_an_approval_with_what_it_says(self, record, letter, who):
        approval = record(why="letter of May")
        assert (approval.size, approval.mark, approval.mark_issue) == ("185/70 R 15", "HLM", "2")
        assert "185/70-15 R" in approval.size_keys
        version = approval.versions.get()
        assert (version.valid.lower, version.valid.upper) == (date(2019, 5, 2), None)
        assert (version.known.lower_inc, version.known.upper) == (True, None)
        assert (version.recorded_by, version.why) == (who["by"], "letter of May")
        assert list(version.evidence.all()) == [letter]

    def test_the_last_day_is_inclusive(self, record):
        assert record(until=date(2026, 5, 31)).versions.get().valid.upper == JUNE

    def test_any_size_any_pattern_by_list(self, record):
        approval = record(size_text="", mark="", mark_issue="", by_list=True)
        assert (approval.size, approval.size_keys, approval.pattern) == ("", [], None)

    def test_an_organiser_s_list(self, record):
        row = CompetitionClassFactory()
        approval = record(car_maker=None, vehicle_line=None, competition_class=row)
        assert approval.competition_class == row

    @pytest.mark.parametrize(
        ("values", "field", "words"),
        [
            ({"size_text": "round"}, "size_text", "cannot be read"),
            ({"mark": "", "mark_issue": ""}, None, "names its mark, or is by list"),
            ({"by_list": True}, None, "names its mark, or is by list"),
            ({"car_maker": None}, None, "one of the two"),
            ({"axle": "both"}, "axle", "not a valid choice"),
            ({"said": Said(valid_from=JUNE, valid_to=MAY)}, "valid_to", "comes before the first"),
            ({"said": Said(valid_from=JUNE, withdrawn_on=MAY)}, "withdrawn_on", "before it came"),
            ({"said": Said(least_load_index=999)}, "least_load_index", "no load index"),
        ],
    )
    def test_what_cannot_be(self, record, values, field, words):
        with pytest.raises(Faulty, match=words) as refusal:
            record(**values)
        assert field is None or refusal.value.field == field
        assert not Approval.objects.exists()
        assert not ApprovalVersion.objects.exists()

    def test_a_model_range_of_another_maker(self, record):
        with pytest.raises(Faulty, match="is not a model range of"):
            record(vehicle_line=VehicleLineFactory())

    def test_a_compound_of_another_maker_than_the_pattern(self, record):
        with pytest.raises(Faulty, match="not a compound of the maker of"):
            record(pattern=PatternFactory(), compound=CompoundFactory())

    def test_the_same_claim_under_another_code(self, record):
        record()
        with pytest.raises(Faulty, match="in the register already"):
            record(code="OTHER")
        with pytest.raises(Faulty, match="An approval of this code is there already"):
            record(axle="rear")
        record(code="REAR", axle="rear")


class TestCorrect:
    def test_the_new_version_stands_and_the_old_one_stays_readable(self, record, letter, who):
        approval = record()
        other = EvidenceFactory()
        old = approval.versions.get()
        new = approvals.correct(
            version=old, why="misread: July", valid_from=JULY, conditions="front only",
            evidence=frozenset([letter, other]), **who,
        )  # fmt: skip
        assert now_said(approval) == [
            Said(valid_from=JULY, conditions="front only", evidence=frozenset([letter, other]))
        ]
        old.refresh_from_db()
        assert old.known.upper == new.known.lower
        assert old.known.lower < old.known.upper
        assert new.why == "misread: July"
        assert [closed for closed, _ in history(approval)] == [True, False]
        assert list(old.evidence.all()) == [letter]

    def test_only_what_is_said_now_is_corrected(self, record, who):
        old = record().versions.get()
        approvals.correct(version=old, why=WHY, conditions="a", **who)
        with pytest.raises(StaleVersion):
            approvals.correct(version=old, why=WHY, conditions="b", **who)
        assert ApprovalVersion.objects.count() == 2

    def test_a_reason_is_needed(self, record, who):
        version = record().versions.get()
        with pytest.raises(Faulty, match="Say why") as refusal:
            approvals.correct(version=version, why=" ", conditions="a", **who)
        assert refusal.value.field == "why"

    def test_a_correction_of_nothing_is_refused(self, record, who):
        version = record().versions.get()
        with pytest.raises(Faulty, match="just what is said already"):
            approvals.correct(version=version, why=WHY, valid_from=date(2019, 5, 2), **who)

    @pytest.mark.parametrize(
        "changes", [{"valid_to": date(2010, 1, 1)}, {"withdrawn_on": date(2010, 1, 1)},
                    {"least_load_index": 999}]
    )  # fmt: skip
    def test_what_cannot_be_said(self, record, who, changes):
        version = record().versions.get()
        with pytest.raises(Faulty):
            approvals.correct(version=version, why=WHY, **changes, **who)
        assert ApprovalVersion.objects.count() == 1

    def test_what_is_no_part_of_what_is_said_is_a_mistake_of_ours(self, record, who):
        with pytest.raises(TypeError):
            approvals.correct(version=record().versions.get(), why=WHY, mark="X", **who)


class TestPeriods:
    def test_an_approval_may_be_in_force_twice(self, record, who):
        approval = record(until=MAY)
        approvals.add_period(approval=approval, said=Said(valid_from=JULY), why=WHY, **who)
        assert [said.valid_from for said in now_said(approval)] == [date(2019, 5, 2), JULY]

    def test_but_not_twice_on_one_day(self, record, who):
        approval = record(until=MAY)
        with pytest.raises(Violated, match="already said of this approval for some of these days"):
            approvals.add_period(approval=approval, said=Said(valid_from=MAY), why=WHY, **who)
        approvals.add_period(
            approval=approval, said=Said(valid_from=date(2026, 5, 2)), why=WHY, **who
        )
        assert len(now_said(approval)) == 2

    def test_each_period_is_corrected_by_itself(self, record, who):
        approval = record(until=MAY)
        second = approvals.add_period(approval=approval, said=Said(valid_from=JULY), why=WHY, **who)
        approvals.correct(version=second, why=WHY, conditions="dry only", **who)
        assert [said.conditions for said in now_said(approval)] == ["", "dry only"]
        second = approval.versions.get(conditions="dry only")
        with pytest.raises(Violated, match="for some of these days"):
            approvals.correct(version=second, why=WHY, valid_from=MAY, **who)


class TestSupersede:
    def test_the_old_one_ends_the_day_before_the_new_one_begins(self, record, who):
        old, new = record(mark_issue="1", code="1"), record(mark_issue="2", code="2", since=JUNE)
        approvals.supersede(approval=old, successor=new, first_day=JUNE, why=WHY, **who)
        (said,) = now_said(old)
        assert (said.valid_to, said.superseded_by) == (date(2026, 5, 31), new)
        assert len(said.evidence) == 1

    def test_without_a_day_it_is_today(self, record, who):
        old, new = record(mark_issue="1", code="1"), record(mark_issue="2", code="2")
        approvals.supersede(approval=old, successor=new, why=WHY, **who)
        assert now_said(old)[0].valid_to == date(2026, 11, 22)

    def test_a_period_that_ended_before_keeps_its_end_and_later_ones_go(self, record, who):
        old, new = record(mark_issue="1", code="1", until=MAY), record(mark_issue="2", code="2")
        approvals.add_period(approval=old, said=Said(valid_from=date(2027, 1, 1)), why=WHY, **who)
        approvals.supersede(approval=old, successor=new, first_day=JULY, why=WHY, **who)
        (said,) = now_said(old)
        assert (said.valid_to, said.superseded_by) == (MAY, new)
        assert [closed for closed, _ in history(old)] == [True, True, False]

    def test_nothing_is_in_force_before_that_day(self, record, who):
        old, new = record(mark_issue="1", code="1", since=JULY), record(mark_issue="2", code="2")
        with pytest.raises(approvals.NothingInForce, match="1 is not in force before 2026-06-01"):
            approvals.supersede(approval=old, successor=new, first_day=JUNE, why=WHY, **who)

    def test_never_by_itself_and_never_without_a_reason(self, record, who):
        old, new = record(mark_issue="1", code="1"), record(mark_issue="2", code="2")
        with pytest.raises(Faulty, match="cannot supersede itself"):
            approvals.supersede(approval=old, successor=old, why=WHY, **who)
        with pytest.raises(Faulty, match="Say why"):
            approvals.supersede(approval=old, successor=new, why="", **who)


class TestWithdraw:
    def test_it_is_withdrawn_for_every_time_it_was_in_force(self, record, who):
        approval = record(until=MAY)
        approvals.add_period(approval=approval, said=Said(valid_from=JULY), why=WHY, **who)
        approvals.withdraw(approval=approval, on=date(2026, 8, 1), why=WHY, **who)
        assert [said.withdrawn_on for said in now_said(approval)] == [date(2026, 8, 1)] * 2

    def test_without_a_day_it_is_today(self, record, who):
        (version,) = approvals.withdraw(approval=record(), why=WHY, **who)
        assert version.withdrawn_on == date(2026, 11, 23)

    def test_not_twice(self, record, who):
        approval = record()
        approvals.withdraw(approval=approval, on=JULY, why=WHY, **who)
        with pytest.raises(approvals.NothingInForce, match="HLM-2 is withdrawn already"):
            approvals.withdraw(approval=approval, on=JULY, why=WHY, **who)

    def test_not_before_it_came_into_force_and_not_without_a_reason(self, record, who):
        approval = record(since=JUNE)
        with pytest.raises(Faulty, match="before it came into force"):
            approvals.withdraw(approval=approval, on=MAY, why=WHY, **who)
        with pytest.raises(Faulty, match="Say why"):
            approvals.withdraw(approval=approval, on=JULY, why="", **who)
        assert now_said(approval)[0].withdrawn_on is None


def test_the_register_on_any_moment_is_what_was_said_then(record, who):
    """As known at the beginning of each version, the register answers what was said then."""
    approval = record()
    said = [now_said(approval)]
    approvals.correct(version=approval.versions.get(), why=WHY, conditions="front only", **who)
    said.append(now_said(approval))
    approvals.withdraw(approval=approval, on=JULY, why=WHY, **who)
    said.append(now_said(approval))
    for version, ((then,),) in zip(
        ApprovalVersion.objects.order_by("pk"), zip(said, strict=True), strict=True
    ):
        found = approvals_for(
            vehicle_lines=[approval.vehicle_line_id], in_force_on=JULY, known_on=version.known.lower
        )
        (fact,) = found["range", approval.vehicle_line_id]
        assert (fact.conditions, fact.withdrawn_on) == (then.conditions, then.withdrawn_on)
