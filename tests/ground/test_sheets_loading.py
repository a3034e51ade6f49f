"""A file checked and loaded: all of it, or nothing and every reason."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from inventory.ground.models import SheetLoad
from inventory.ground.sheets import loading, problems
from inventory.ground.sheets.files import digest_of
from inventory.ground.sheets.loading import check, load
from inventory.ground.sheets.problems import Problem, SheetRefused, UnreadableSheet
from inventory.ground.sheets.registry import sheet_named
from inventory.models.maker import Pattern, TyreMaker
from inventory.models.supplier import Supplier
from tests.factories.catalogue import TyreMakerFactory
from tests.factories.people import SupplierFactory, UserFactory
from tests.factories.when import AT, TODAY
from tests.ground.sheet_files import csv_file, xlsx_file
from tests.ground.sheet_loads import loaded, wrong
from tests.support.concurrency import at_once

HEADINGS = ["code", "name", "e-mail"]
ROWS = (HEADINGS, ["OST", "Ostrey", "a@ostrey.example"], ["TID", "Tidemill", ""])


@pytest.mark.django_db
class TestLoad:
    def test_rows_are_new_then_the_same_then_changed(self):
        assert str(loaded("suppliers", *ROWS)) == "suppliers: 2 new, 0 changed, 0 as before."
        assert str(loaded("suppliers", *ROWS)) == "suppliers: 0 new, 0 changed, 2 as before."
        done = loaded("suppliers", HEADINGS, ["ost", "Ostrey & Sons", "a@ostrey.example"])
        assert (done.rows, done.new, done.changed, done.same) == (1, 0, 1, 0)
        assert [str(change) for change in done.changes] == [
            "row 2, Ostrey & Sons: code “OST” → “ost”",
            "row 2, Ostrey & Sons: name “Ostrey” → “Ostrey & Sons”",
        ]
        assert Supplier.objects.count() == 2

    def test_a_column_that_the_file_has_not_is_left_as_it_is(self):
        SupplierFactory(code="OST", telephone="01632 960123", note="rings on Fridays")
        loaded("suppliers", ["code", "name", "note"], ["OST", "Ostrey", ""])
        row = Supplier.objects.get()
        assert (row.name, row.telephone, row.note) == ("Ostrey", "01632 960123", "")

    def test_it_is_written_down_who_loaded_what(self):
        by = UserFactory()
        data = csv_file(*ROWS)
        load(sheet_named("suppliers"), data, by=by, at=AT, file_name="x" * 300 + "mine.csv")
        row = SheetLoad.objects.get()
        assert (row.sheet, row.digest, row.loaded_by, row.loaded_at) == (
            "suppliers", digest_of(data), by, AT,
        )  # fmt: skip
        assert (row.rows, row.new, row.changed, row.same) == (2, 2, 0, 0)
        assert row.file_name.endswith("mine.csv")
        assert str(row) == "suppliers (2026-11-23)"

    def test_progress_is_told_step_by_step(self):
        steps = []
        load(
            sheet_named("suppliers"), csv_file(*ROWS), by=UserFactory(), at=AT,
            progress=lambda step, rows: steps.append((step, rows)),
        )  # fmt: skip
        assert steps == [("read", 2), ("checked", 2), ("written", 2)]

    def test_notes_of_reading_come_with_the_answer(self):
        data = csv_file(HEADINGS, ["CAF", "Café", ""], encoding="cp1252")
        done = load(sheet_named("suppliers"), data, by=UserFactory(), at=AT)
        assert "Windows-1252" in done.notes[0]
        assert Supplier.objects.get().name == "Café"

    def test_only_the_first_changes_are_kept_and_the_rest_counted(self, monkeypatch):
        monkeypatch.setattr(loading, "MOST_SHOWN", 1)
        loaded("suppliers", *ROWS)
        done = loaded("suppliers", ["code", "name"], ["OST", "A"], ["TID", "B"])
        assert len(done.changes) == 1
        assert done.more_changes == 1

    def test_a_workbook_loads_like_a_text_file(self):
        loaded("suppliers", *ROWS)
        done = load(sheet_named("suppliers"), xlsx_file(*ROWS), by=UserFactory(), at=AT)
        assert done.same == 2


@pytest.mark.django_db
class TestRefused:
    def test_every_row_is_told_and_nothing_is_loaded(self):
        rows = (HEADINGS, ["A", "Good", ""], ["", "No code", ""], ["B", "", "no-address"])
        with pytest.raises(SheetRefused) as refusal:
            loaded("suppliers", *rows)
        assert [str(problem) for problem in refusal.value.problems] == [
            "row 3, code: this cell is empty, and is needed.",
            "row 4, name: this cell is empty, and is needed.",
        ]
        assert str(refusal.value) == (
            "2 things are wrong with this spreadsheet; nothing of it was loaded."
        )
        assert not Supplier.objects.exists()
        assert not SheetLoad.objects.exists()

    def test_one_problem_alone_is_counted_as_one(self):
        assert str(SheetRefused([Problem(2, "", "x")])).startswith("One thing is wrong")

    def test_what_the_register_finds_is_told_by_row_and_column(self):
        assert wrong("suppliers", HEADINGS, ["A", "Good", "no-address"], ["B", "x" * 121, ""]) == [
            "row 2, e-mail: Enter a valid email address.",
            "row 3, name: Ensure this value has at most 120 characters (it has 121).",
        ]

    def test_two_rows_about_the_same_are_told(self):
        assert wrong("suppliers", HEADINGS, ["A", "x", ""], ["B", "y", ""], [" a", "z", ""]) == [
            "row 4, code: row 2 is about the same already: keep one of the two."
        ]

    def test_under_wrong_headings_the_cells_are_not_read(self):
        assert wrong("suppliers", ["code", "nane"], ["A", "x"]) == [
            "row 1: there is no column “nane” in this sheet. Did you mean “name”?",
            "row 1, name: this column is missing, and is needed.",
        ]

    def test_headings_alone_are_refused(self):
        assert wrong("suppliers", HEADINGS) == [
            "This spreadsheet has its headings, but no row under them."
        ]

    def test_a_formula_is_told_by_its_column(self):
        data = xlsx_file(HEADINGS, ["A", "=1+1", "a@b.example"])
        (words,) = wrong("suppliers", data=data)
        assert words.startswith("row 2, name: cell B2 holds a formula")

    def test_a_formula_among_the_headings_is_told_as_well(self):
        (first, *_) = wrong("suppliers", data=xlsx_file(["code", "=A1", "e-mail"], ["A", "B", ""]))
        assert first.startswith("row 1: cell B1 holds a formula")

    def test_the_first_five_hundred_are_shown_and_the_rest_counted(self):
        rows = [["", f"name {number}", ""] for number in range(620)]
        with pytest.raises(SheetRefused) as refusal:
            loaded("suppliers", HEADINGS, *rows)
        assert len(refusal.value.shown) == 500
        assert refusal.value.rest == 120
        assert len(refusal.value.problems) == 620

    def test_problems_come_in_the_order_of_the_rows(self, monkeypatch):
        monkeypatch.setattr(problems, "MOST_SHOWN", 2)
        refusal = SheetRefused([Problem(9, "b", "z"), Problem(2, "a", "y"), Problem(2, "a", "x")])
        assert [problem.row for problem in refusal.shown] == [2, 2]
        assert refusal.rest == 1

    def test_what_is_there_already_under_another_code_is_told_by_row(self):
        TyreMakerFactory(code="TARN", name="Tarnbeck")
        assert wrong("tyre-makers", ["code", "name"], ["TRB", "TARNBECK"]) == [
            "row 2, name: A tyre maker of this name is there already."
        ]

    def test_a_file_that_cannot_be_read_leaves_no_trace(self):
        with pytest.raises(UnreadableSheet):
            load(sheet_named("suppliers"), b"%PDF-1.7", by=UserFactory(), at=AT)
        assert not SheetLoad.objects.exists()


@pytest.mark.django_db
class TestCheck:
    def test_it_says_what_would_happen_and_writes_nothing(self):
        SupplierFactory(code="OST", name="Ostrey", email="")
        done = check(sheet_named("suppliers"), csv_file(*ROWS), on=TODAY)
        assert (done.new, done.changed, done.same) == (1, 1, 0)
        assert [change.field for change in done.changes] == ["e-mail"]
        assert Supplier.objects.count() == 1
        assert not SheetLoad.objects.exists()

    def test_it_asks_no_more_for_more_rows(self, same_queries):
        rows = [[f"S{number}", "x", ""] for number in range(5)]
        sheet = sheet_named("suppliers")

        def twice_the_rows():
            rows.extend([f"T{number}", "x", ""] for number in range(5))

        asked = same_queries(
            lambda: check(sheet, csv_file(HEADINGS, *rows), on=TODAY), twice_the_rows
        )
        assert asked == 2  # by the key, and by what is unique


@pytest.mark.django_db
class TestOnce:
    def test_the_same_file_is_not_loaded_twice(self):
        by = UserFactory()
        loaded("suppliers", *ROWS, once=True, by=by)
        Supplier.objects.all().delete()
        done = loaded("suppliers", *ROWS, once=True)
        assert done.earlier.loaded_by == by
        assert str(done) == (
            "suppliers: this file was loaded on 2026-11-23 already; nothing was done."
        )
        assert (done.rows, done.new, done.changed, done.same) == (2, 0, 0, 2)
        assert not Supplier.objects.exists()
        assert SheetLoad.objects.count() == 1

    def test_another_file_is(self):
        loaded("suppliers", *ROWS, once=True)
        assert loaded("suppliers", HEADINGS, ["NEW", "New", ""], once=True).new == 1

    def test_a_file_that_was_refused_can_be_sent_again(self):
        with pytest.raises(SheetRefused):
            loaded("patterns", ["maker", "name"], ["TARN", "Cairnway"], once=True)
        TyreMakerFactory(code="TARN")
        assert loaded("patterns", ["maker", "name"], ["TARN", "Cairnway"], once=True).new == 1

    def test_unless_asked_a_catalogue_is_loaded_as_often_as_it_is_sent(self):
        loaded("suppliers", *ROWS)
        Supplier.objects.all().delete()
        assert loaded("suppliers", *ROWS).new == 2
        assert SheetLoad.objects.count() == 2


@pytest.mark.django_db(transaction=True)
class TestAtOnce:
    def test_eight_people_send_the_same_file_and_it_is_loaded_once(self):
        by = UserFactory()
        done = at_once(*[lambda: loaded("suppliers", *ROWS, by=by, once=True)] * 8)
        assert sorted(one.new for one in done) == [0] * 7 + [2]
        assert Supplier.objects.count() == 2

    def test_eight_people_enter_the_same_makers_and_no_half_of_a_file_is_in(self):
        by = UserFactory()
        data = csv_file(["code", "name"], *[[f"M{one}", f"Maker {one}"] for one in range(20)])
        done = at_once(*[lambda: load(sheet_named("tyre-makers"), data, by=by, at=AT)] * 8)
        errors = [one for one in done if isinstance(one, Exception)]
        assert all(
            "is there already" in str(error) or "with this" in str(error) for error in errors
        )
        assert sorted(one.new for one in done if one not in errors)[-1] == 20
        assert TyreMaker.objects.count() == 20


@pytest.mark.django_db
def test_the_day_is_the_one_of_the_shop(settings):
    # half an hour before midnight in London on the 23rd is the 24th in Auckland
    settings.TIME_ZONE = "Pacific/Auckland"
    seen = []

    class Spy(type(sheet_named("suppliers"))):
        def plan(self, rows, report, *, on, lock):
            seen.append(on.isoformat())
            return super().plan(rows, report, on=on, lock=lock)

    load(Spy(), csv_file(*ROWS), by=UserFactory(), at=datetime(2026, 11, 23, 23, 30, tzinfo=UTC))
    assert seen == ["2026-11-24"]


@pytest.mark.django_db
def test_patterns_of_a_maker_that_is_not_there_are_not_made():
    assert wrong("patterns", ["maker", "name"], ["TARN", "Cairnway"]) == [
        "row 2, maker: there is no tyre maker “TARN”."
    ]
    assert not Pattern.objects.exists()
