"""What a sheet is made of: rows about the same, what changed, counts; a sheet written in a test."""

from __future__ import annotations

import pytest

from inventory.ground.entries.register import Register
from inventory.ground.sheets import readers
from inventory.ground.sheets.columns import Column, of
from inventory.ground.sheets.loading import Loaded, check, load
from inventory.ground.sheets.problems import SheetRefused
from inventory.ground.sheets.registered import RegisterSheet
from inventory.ground.sheets.rows import Report, SheetRow
from inventory.ground.sheets.sheet import Change, Outcome
from inventory.models.maker import TyreMaker
from inventory.models.place import Place, Site
from inventory.models.supplier import Supplier
from tests.factories.people import SupplierFactory, UserFactory
from tests.factories.places import SiteFactory
from tests.factories.when import AT, TODAY
from tests.ground.sheet_files import csv_file


class Pairs(RegisterSheet):
    """A sheet each of whose rows makes two suppliers, one of them numbered."""

    name = "pairs"
    title = "Pairs"
    model = Supplier
    into = Register(Supplier, key=("code",))
    key = ("code",)
    columns = (
        of(Supplier, "code", read=readers.code),
        of(Supplier, "name"),
        Column("number", "number", readers.whole, absent=2),
    )

    def values_of(self, row, report, on):
        if row.values["name"] == "nobody":
            report(row.number, "name", "nobody is no name.")
        code, name = row.values["code"], row.values["name"]
        return [
            {"code": f"{code}-1", "name": name},
            {"code": f"{code}-{row.values.get('number', 2)}", "name": name},
        ]


HEADINGS = ["code", "name", "number"]


def send(*rows):
    return load(Pairs(), csv_file(HEADINGS, *rows), by=UserFactory(), at=AT)


def told(*rows):
    with pytest.raises(SheetRefused) as refusal:
        check(Pairs(), csv_file(HEADINGS, *rows), on=TODAY)
    return [str(problem) for problem in refusal.value.problems]


@pytest.mark.django_db
class TestSeveralOfOneRow:
    def test_rows_are_counted_as_rows_and_entries_as_entries(self):
        done = send(["A", "x", ""], ["B", "y", "7"])
        assert (done.rows, done.new) == (2, 4)
        assert set(Supplier.objects.values_list("code", flat=True)) == {"A-1", "A-2", "B-1", "B-7"}

    def test_a_change_is_told_by_the_row_that_it_came_from(self):
        send(["A", "x", ""], ["B", "y", ""])
        done = send(["A", "x", ""], ["B", "z", ""])
        assert (done.changed, done.same) == (2, 2)
        assert [change.row for change in done.changes] == [3, 3]

    def test_what_is_wrong_is_told_by_the_row_that_it_came_from(self):
        assert told(["A", "x", ""], ["B", "y" * 121, ""]) == [
            "row 3, name: Ensure this value has at most 120 characters (it has 121).",
            "row 3, name: Ensure this value has at most 120 characters (it has 121).",
        ]

    def test_two_of_one_row_that_are_alike(self):
        assert told(["A", "x", "1"]) == ["row 2, code: A supplier of this code is there already."]

    def test_what_the_sheet_itself_finds_is_told_like_everything_else(self):
        assert told(["A", "nobody", ""], ["B", "x", "one"]) == [
            "row 2, name: nobody is no name.",
            "row 3, number: “one” is not a whole number, written without any mark or unit.",
        ]


class Wholesalers(Pairs):
    """Known by two columns."""

    key = ("code", "name")


class TestRowsAboutTheSame:
    def rows(self, *pairs):
        return [
            SheetRow(number, {"code": code, "name": name})
            for number, (code, name) in enumerate(pairs, start=2)
        ]

    def doubles(self, sheet, *pairs):
        report = Report()
        sheet.report_doubles(self.rows(*pairs), report)
        return [str(problem) for problem in report.problems]

    def test_by_one_column_whatever_the_capitals(self):
        assert self.doubles(Pairs(), ("A", "x"), ("B", "x"), (" a ", "y"), ("a", "z")) == [
            "row 4, code: row 2 is about the same already: keep one of the two.",
            "row 5, code: row 2 is about the same already: keep one of the two.",
        ]

    def test_by_two_columns(self):
        assert self.doubles(Wholesalers(), ("A", "x"), ("A", "y"), ("A", "X")) == [
            "row 4, name: row 2 is about the same already: keep one of the two."
        ]

    def test_by_rows_that_cells_named(self):
        one, other = TyreMaker(pk=1), TyreMaker(pk=2)
        report = Report()
        rows = [SheetRow(n, {"code": made}) for n, made in enumerate([one, other, one], start=2)]
        Pairs().report_doubles(rows, report)
        assert [problem.row for problem in report.problems] == [4]


def test_a_heading_by_the_name_of_its_value():
    assert Pairs().heading_of("number") == "number"
    assert Pairs().heading_of("colour") == ""


def test_words_of_a_change_and_of_what_was_loaded():
    assert str(Change(4, "OST", "name", "a", "b")) == "row 4, OST: name “a” → “b”"
    assert str(Loaded("skus", 3, 1, 1, 1)) == "skus: 1 new, 1 changed, 1 as before."
    assert Outcome() == Outcome(0, 0, 0, ())


@pytest.mark.django_db
class TestChanges:
    class Moved(RegisterSheet):
        """Places known by their code, which may move to another site."""

        name = "moved"
        title = "Moved"
        model = Place
        into = Register(Place, key=("code",))
        key = ("code",)
        columns = (of(Place, "code"), of(Place, "room", heading="room"))

    def test_empty_before_and_after_are_told_as_empty(self):
        Place.objects.create(code="A", site=SiteFactory(), room=None)
        sheet = self.Moved()
        data = csv_file(["code", "room"], ["A", "24"])
        (change,) = load(sheet, data, by=UserFactory(), at=AT).changes
        assert (change.field, change.before, change.after) == ("room for, tyres", "", "24")
        data = csv_file(["code", "room"], ["A", ""])
        (change,) = load(sheet, data, by=UserFactory(), at=AT).changes
        assert (change.before, change.after) == ("24", "")

    def test_a_new_row_changes_nothing(self):
        assert send(["A", "x", ""]).changes == ()

    def test_what_a_new_row_lacks_is_told_under_no_column(self):
        with pytest.raises(SheetRefused) as refusal:
            check(self.Moved(), csv_file(["code", "room"], ["NEW", "24"]), on=TODAY)
        assert [str(one) for one in refusal.value.problems] == ["row 2: Site is missing."]
        assert not Site.objects.filter(places__code="NEW").exists()

    def test_a_row_that_is_there_lacks_nothing(self):
        SupplierFactory(code="A-1", name="x")
        SupplierFactory(code="A-2", name="x")
        assert send(["A", "x", ""]).same == 2
