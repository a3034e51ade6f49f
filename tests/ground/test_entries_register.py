"""Rows entered by hand and in bulk: one path, with history, versions and every reason at once."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from inventory.activities.cataloguing.makers import COMPOUNDS, MAKERS, PATTERNS
from inventory.activities.cataloguing.suppliers import SUPPLIERS
from inventory.ground.entries import writing
from inventory.ground.entries.faults import Fault, Faulty
from inventory.ground.entries.finding import NoLongerThere
from inventory.ground.entries.register import refuse
from inventory.ground.entries.writing import version_of
from inventory.ground.refusal import StaleVersion
from inventory.models.maker import Compound, Pattern, TyreMaker
from inventory.models.supplier import Supplier
from tests.factories.catalogue import CompoundFactory, PatternFactory, TyreMakerFactory
from tests.factories.people import SupplierFactory, UserFactory
from tests.factories.when import AT
from tests.support.concurrency import at_once
from tests.support.counting import queries_of

LATER = datetime(2026, 11, 24, 9, 0, tzinfo=UTC)


@pytest.fixture
def by(db):
    return UserFactory()


class TestMake:
    def test_a_row_is_entered_with_its_history(self, by):
        row = MAKERS.make({"code": "TARN", "name": "Tarnbeck"}, by=by, at=AT)
        assert TyreMaker.objects.get() == row
        (kept,) = row.history.all()
        assert (kept.history_type, kept.history_user, kept.history_date) == ("+", by, AT)
        assert (kept.id, kept.code, kept.name, kept.country) == (row.pk, "TARN", "Tarnbeck", "")
        assert kept.history_relation == row

    def test_every_reason_is_told_at_once(self, by):
        maker = TyreMakerFactory()
        values = {"maker": maker, "name": "x" * 121, "introduced": 1700, "tread": "wavy"}
        with pytest.raises(Faulty) as refusal:
            PATTERNS.make(values, by=by, at=AT)
        assert [fault.field for fault in refusal.value.faults] == ["name", "introduced", "tread"]
        assert refusal.value.field == "name"
        assert "greater than or equal to 1880" in str(refusal.value)
        assert not Pattern.objects.exists()

    def test_a_rule_of_the_model_is_told_by_its_own_sentence(self, by):
        values = {"maker": TyreMakerFactory(), "name": "A", "introduced": 1970, "withdrawn": 1960}
        with pytest.raises(Faulty, match="cannot be withdrawn before it was introduced") as refusal:
            PATTERNS.make(values, by=by, at=AT)
        assert refusal.value.faults[0].field == "withdrawn"

    def test_what_is_missing_is_named(self, by):
        with pytest.raises(Faulty) as refusal:
            PATTERNS.make({"tread": "symmetric"}, by=by, at=AT)
        assert refusal.value.faults == (
            Fault("maker", "Maker is missing."),
            Fault("name", "Name is missing."),
        )

    def test_a_key_that_is_there_already_is_refused(self, by):
        TyreMakerFactory(code="TARN")
        with pytest.raises(Faulty, match="A tyre maker of this code is there already"):
            MAKERS.make({"code": "TARN", "name": "Other"}, by=by, at=AT)

    def test_a_name_of_a_column_that_is_not_there_is_a_mistake_of_ours(self, by):
        with pytest.raises(TypeError, match="TyreMaker has no colour"):
            MAKERS.make({"code": "A", "name": "B", "colour": "red"}, by=by, at=AT)

    def test_a_model_without_history_is_entered_all_the_same(self, by):
        row = SUPPLIERS.make({"code": "OST", "name": "Ostrey"}, by=by, at=AT)
        assert version_of(row) is None


class TestChange:
    def test_only_what_is_given_changes(self, by):
        pattern = PATTERNS.make(
            {"maker": TyreMakerFactory(), "name": "Cairnway", "introduced": 1961}, by=by, at=AT
        )
        PATTERNS.change(pattern, {"withdrawn": 1974}, by=by, at=LATER)
        pattern.refresh_from_db()
        assert (pattern.name, pattern.introduced, pattern.withdrawn) == ("Cairnway", 1961, 1974)
        last = pattern.history.latest()
        assert (last.history_type, last.history_date, last.withdrawn) == ("~", LATER, 1974)

    def test_a_change_of_nothing_is_no_new_version(self, by):
        maker = MAKERS.make({"code": "TARN", "name": "Tarnbeck"}, by=by, at=AT)
        MAKERS.change(maker, {"name": "Tarnbeck"}, by=by, at=LATER)
        assert maker.history.count() == 1

    def test_whoever_looked_at_an_older_version_is_refused(self, by):
        maker = MAKERS.make({"code": "TARN", "name": "Tarnbeck"}, by=by, at=AT)
        seen = version_of(maker)
        MAKERS.change(maker, {"country": "Portugal"}, seen=seen, by=by, at=LATER)
        with pytest.raises(StaleVersion, match="Somebody else has changed this"):
            MAKERS.change(maker, {"country": "Spain"}, seen=seen, by=by, at=LATER)
        maker.refresh_from_db()
        assert maker.country == "Portugal"

    def test_a_row_that_is_gone_says_so(self, by):
        supplier = SupplierFactory()
        Supplier.objects.all().delete()
        with pytest.raises(NoLongerThere, match="no longer there"):
            SUPPLIERS.change(supplier, {"name": "x"}, by=by, at=AT)

    def test_a_change_to_what_another_row_has_is_refused(self, by):
        TyreMakerFactory(name="Okebury")
        maker = TyreMakerFactory(name="Tarnbeck")
        with pytest.raises(Faulty, match="tyre maker of this name is there already"):
            MAKERS.change(maker, {"name": "OKEBURY"}, by=by, at=AT)

    def test_a_row_may_keep_what_is_its_own(self, by):
        maker = TyreMakerFactory(code="TARN", name="Tarnbeck")
        MAKERS.change(maker, {"code": "TARN", "name": "TARNBECK"}, by=by, at=AT)
        assert TyreMaker.objects.get().name == "TARNBECK"

    def test_the_row_given_may_be_an_old_copy(self, by):
        maker = TyreMakerFactory(country="Spain")
        old = TyreMaker.objects.get()
        MAKERS.change(maker, {"country": "Portugal"}, by=by, at=AT)
        MAKERS.change(old, {"name": "New"}, by=by, at=AT)
        row = TyreMaker.objects.get()
        assert (row.name, row.country) == ("New", "Portugal")


class TestEnter:
    def test_new_changed_and_same_are_told_apart(self, by):
        TyreMakerFactory(code="SAME", name="Same")
        TyreMakerFactory(code="OLD", name="Old")
        rows = [
            {"code": "same", "name": "Same"},
            {"code": "OLD", "name": "Changed"},
            {"code": "NEW", "name": "New"},
        ]
        MAKERS.change(TyreMaker.objects.get(code="SAME"), {"code": "same"}, by=by, at=AT)
        entries = MAKERS.enter(rows, by=by, at=AT)
        assert [(one.is_new, one.is_changed) for one in entries] == [
            (False, False), (False, True), (True, False),
        ]  # fmt: skip
        assert entries[1].changes == {"name": ("Old", "Changed")}
        assert set(TyreMaker.objects.values_list("name", flat=True)) == {"Same", "Changed", "New"}

    def test_nothing_is_entered_if_one_row_is_wrong(self, by):
        with pytest.raises(Faulty):
            MAKERS.enter([{"code": "A", "name": "A"}, {"code": "B", "name": ""}], by=by, at=AT)
        assert not TyreMaker.objects.exists()

    def test_two_rows_that_may_be_there_only_once(self, by):
        entries = MAKERS.plan([{"code": "A", "name": "One"}, {"code": "B", "name": "ONE"}])
        assert entries[0].faults == []
        assert [fault.words for fault in entries[1].faults] == [
            "A tyre maker of this name is there already."
        ]
        with pytest.raises(Faulty):
            refuse(entries)

    def test_a_plan_writes_nothing(self, by):
        (entry,) = MAKERS.plan([{"code": "A", "name": "One"}])
        assert entry.is_new
        assert not TyreMaker.objects.exists()

    def test_a_name_that_one_row_gives_up_another_may_take(self, by):
        MAKERS.make({"code": "A", "name": "One"}, by=by, at=AT)
        MAKERS.enter([{"code": "A", "name": "Two"}, {"code": "B", "name": "One"}], by=by, at=AT)
        assert dict(TyreMaker.objects.values_list("code", "name")) == {"A": "Two", "B": "One"}

    def test_many_rows_cost_no_more_statements_than_few(self, by):
        def asked(first, count, country=""):
            rows = [
                {"code": f"M{number}", "name": f"Maker {number}", "country": country}
                for number in range(first, first + count)
            ]
            return queries_of(lambda: MAKERS.enter(rows, by=by, at=AT))

        assert asked(0, 10) == asked(10, 40) == 7  # look, two uniques, insert, history, keys twice
        assert asked(0, 10, "Portugal") == asked(10, 40, "Portugal") == 7

    def test_history_of_many_rows_at_once(self, by):
        rows = [{"code": f"M{number}", "name": f"Maker {number}"} for number in range(25)]
        MAKERS.enter(rows, by=by, at=AT)
        changed = [{**row, "country": "Portugal"} for row in rows[:5]]
        MAKERS.enter(changed + rows[5:], by=by, at=LATER)
        kept = TyreMaker.history.filter(history_type="~")
        assert {row.code for row in kept} == {row["code"] for row in rows[:5]}
        assert all((row.country, row.history_user) == ("Portugal", by) for row in kept)
        assert TyreMaker.history.filter(history_type="+", history_date=AT).count() == 25

    def test_history_speaks_as_the_library_itself_would(self, by):
        ours = COMPOUNDS.make({"maker": TyreMakerFactory(), "code": "q4"}, by=by, at=AT)
        theirs = CompoundFactory(code="q5")
        theirs._history_user, theirs._history_date = by, AT
        theirs.year = 2025
        theirs.save()
        own, other = ours.history.get(), theirs.history.order_by("history_id").last()
        same = ("history_user_id", "history_date", "history_change_reason")
        assert [getattr(own, name) for name in same] == [getattr(other, name) for name in same]
        assert own.history_object == ours
        assert Compound.history.as_of(LATER).filter(code="q4").count() == 1


class TestWriting:
    def test_only_the_named_columns_are_written(self, by):
        supplier = SupplierFactory(name="Ostrey", telephone="1")
        supplier.name, supplier.telephone = "Changed", "2"
        writing.update(Supplier, [supplier], {"name"}, by=by, at=AT)
        supplier.refresh_from_db()
        assert (supplier.name, supplier.telephone) == ("Changed", "1")

    def test_nothing_to_write_is_no_statement(self, by, django_assert_num_queries):
        with django_assert_num_queries(0):
            writing.insert(Supplier, [], by=by, at=AT)
            writing.update(Supplier, [], {"name"}, by=by, at=AT)

    def test_a_foreign_key_is_written_by_its_column(self, by):
        pattern, other = PatternFactory(), TyreMakerFactory()
        pattern.maker = other
        writing.update(Pattern, [pattern], {"maker_id"}, by=by, at=AT)
        assert Pattern.objects.get().maker == other

    def test_a_column_that_is_not_there_is_a_mistake_of_ours(self, by):
        with pytest.raises(LookupError):
            writing.update(Supplier, [SupplierFactory()], {"colour"}, by=by, at=AT)

    def test_more_rows_than_a_batch(self, by, monkeypatch):
        monkeypatch.setattr(writing, "BATCH", 3)
        rows = [{"code": f"M{number}", "name": f"Maker {number}"} for number in range(8)]
        MAKERS.enter(rows, by=by, at=AT)
        MAKERS.enter([{**row, "country": "x"} for row in rows], by=by, at=LATER)
        assert TyreMaker.objects.filter(country="x").count() == 8
        assert TyreMaker.history.count() == 16


@pytest.mark.django_db(transaction=True)
def test_eight_people_change_what_they_all_looked_at_and_one_of_them_does():
    by = UserFactory()
    maker = MAKERS.make({"code": "TARN", "name": "Tarnbeck"}, by=by, at=AT)
    seen = version_of(maker)
    calls = [
        lambda number=number: MAKERS.change(
            maker, {"country": f"Land {number}"}, seen=seen, by=by, at=LATER
        )
        for number in range(8)
    ]
    answers = at_once(*calls)
    done = [one for one in answers if isinstance(one, TyreMaker)]
    assert len(done) == 1
    assert sum(isinstance(one, StaleVersion) for one in answers) == 7
    assert TyreMaker.objects.get().country == done[0].country
    assert maker.history.count() == 2


@pytest.mark.django_db(transaction=True)
def test_eight_people_enter_one_new_code_and_seven_are_told_why_not():
    by = UserFactory()
    calls = [
        lambda number=number: MAKERS.make({"code": "TARN", "name": f"M{number}"}, by=by, at=AT)
        for number in range(8)
    ]
    answers = at_once(*calls)
    refused = [one for one in answers if isinstance(one, Exception)]
    assert len(refused) == 7
    assert all("there is already" in str(one).lower() or "is there already" in str(one)
               for one in refused)  # fmt: skip
    assert TyreMaker.objects.count() == 1
