"""Organisers, classes and evidence from spreadsheets."""

from __future__ import annotations

from datetime import date

import pytest
from django.utils import timezone

from fitments.models.evidence import Evidence, EvidenceKind
from fitments.models.organiser import CompetitionClass, Organiser
from inventory.ground.sheets.shifting import Shift
from tests.factories.approvals import OrganiserFactory
from tests.factories.cars import VariantFactory
from tests.factories.people import UserFactory
from tests.factories.when import AT
from tests.ground.sheet_loads import loaded, wrong

pytestmark = pytest.mark.django_db

CLASS = ["organiser", "code", "season", "edition", "class", "age limit months", "buffing allowed",
         "cars admitted"]  # fmt: skip
LETTER = ["code", "kind", "reference", "issued by", "dated", "says", "digest", "checked on",
          "checked by", "due on"]  # fmt: skip


def test_organisers():
    loaded("organisers", ["code", "name"], ["FHR", "Fellside"])
    assert loaded("organisers", ["code", "name"], ["fhr", "Fellside HR"]).changed == 1
    assert Organiser.objects.get().name == "Fellside HR"


class TestClasses:
    @pytest.fixture(autouse=True)
    def fellside(self):
        VariantFactory(code="V1")
        VariantFactory(code="V2")
        return OrganiserFactory(code="FHR")

    def test_a_class_admits_cars(self, fellside):
        loaded("classes", CLASS, ["fhr", "T2", "2026", "", "saloons", "60", "no", "v1; V2"])
        row = CompetitionClass.objects.get()
        assert (row.organiser, row.season, row.edition, row.name) == (
            fellside,
            2026,
            "1",
            "saloons",
        )
        assert (row.age_limit_months, row.buffing_allowed) == (60, False)
        assert {variant.code for variant in row.variants.all()} == {"V1", "V2"}

    def test_what_is_not_said_is_not_known(self):
        loaded("classes", CLASS, ["FHR", "T2", "2026", "", "saloons", "", "", ""])
        row = CompetitionClass.objects.get()
        assert (row.age_limit_months, row.buffing_allowed, row.variants.count()) == (None, None, 0)

    def test_other_cars_are_a_change(self):
        row = ["FHR", "T2", "2026", "1", "saloons", "", "", "V1"]
        loaded("classes", CLASS, row)
        assert loaded("classes", CLASS, row).same == 1
        assert loaded("classes", CLASS, [*row[:-1], "V2"]).changed == 1
        assert CompetitionClass.objects.get().variants.get().code == "V2"

    def test_a_season_moves_by_whole_years(self):
        loaded("classes", CLASS, ["FHR", "T2", "2026", "", "saloons", "", "", ""],
               shift=Shift(weeks=60, years=1))  # fmt: skip
        assert CompetitionClass.objects.get().season == 2027

    def test_every_row_is_told(self):
        assert wrong(
            "classes", CLASS,
            ["FRH", "A", "2026", "", "a", "", "", ""],
            ["FHR", "B", "26", "", "b", "", "", ""],
            ["FHR", "C", "2026", "", "c", "five years", "", ""],
            ["FHR", "D", "2026", "", "d", "", "sometimes", "V1; V9; V8"],
        ) == [
            "row 2, organiser: there is no organiser “FRH”.",
            "row 3, season: A season is a year of four figures.",
            "row 4, age limit months: “five years” is not a whole number, written without any mark "
            "or unit.",
            "row 5, buffing allowed: “sometimes” is neither yes nor no.",
            "row 5, cars admitted: there is no variant “V8”.",
            "row 5, cars admitted: there is no variant “V9”.",
        ]  # fmt: skip


class TestEvidence:
    ROW = ["EV-1", "Handbook page", "S1, page 30", "Hallmere", "1964-02-01", "165 SR 15",
           "AB" * 32]  # fmt: skip

    def test_checked_by_a_second_person_on_a_day(self):
        owner, clerk = UserFactory(username="owner"), UserFactory()
        loaded("evidence", LETTER, [*self.ROW, "2026-02-11", "owner", "2029-02-11"], by=clerk)
        row = Evidence.objects.get()
        assert (row.kind, row.digest, row.dated) == (
            EvidenceKind.HANDBOOK, "ab" * 32, date(1964, 2, 1),
        )  # fmt: skip
        assert (row.checked_by, row.recorded_by, row.recorded_at) == (owner, clerk, AT)
        assert timezone.localdate(row.checked_at) == date(2026, 2, 11)
        assert row.due_on == date(2029, 2, 11)
        assert not row.self_checked

    def test_checked_by_whoever_loads_it_is_self_checked(self):
        clerk = UserFactory(username="clerk")
        loaded("evidence", LETTER, [*self.ROW, "2026-02-11", "clerk", ""], by=clerk)
        assert Evidence.objects.get().self_checked

    def test_not_checked(self):
        loaded("evidence", LETTER, [*self.ROW, "", "", ""])
        row = Evidence.objects.get()
        assert (row.checked_at, row.checked_by) == (None, None)

    def test_loading_again_changes_nothing(self):
        UserFactory(username="owner")
        row = [*self.ROW, "2026-02-11", "owner", ""]
        loaded("evidence", LETTER, row)
        assert loaded("evidence", LETTER, row).same == 1

    def test_a_sheet_without_the_check_leaves_it_where_nothing_else_is_said(self):
        UserFactory(username="owner")
        loaded("evidence", LETTER, [*self.ROW, "2026-02-11", "owner", ""])
        loaded("evidence", LETTER[:6], self.ROW[:6])
        assert Evidence.objects.get().checked_by.username == "owner"

    def test_other_words_want_checking_again(self):
        UserFactory(username="owner")
        loaded("evidence", LETTER, [*self.ROW, "2026-02-11", "owner", ""])
        loaded("evidence", LETTER[:6], [*self.ROW[:5], "other words"])
        row = Evidence.objects.get()
        assert (row.says, row.checked_by, row.checked_at) == ("other words", None, None)
        assert [one.says for one in row.versions.all()] == [self.ROW[5], "other words"]

    def test_checks_move_with_the_calendar_and_documents_do_not(self):
        UserFactory(username="owner")
        row = [*self.ROW, "2026-02-11", "owner", "2029-02-11"]
        loaded("evidence", LETTER, row, shift=Shift(weeks=2))
        kept = Evidence.objects.get()
        assert timezone.localdate(kept.checked_at) == date(2026, 2, 25)
        assert (kept.due_on, kept.dated) == (date(2029, 2, 25), date(1964, 2, 1))

    def test_every_row_is_told(self):
        UserFactory(username="owner")
        UserFactory(username="gone", is_active=False)
        base = self.ROW[1:]
        assert wrong(
            "evidence", LETTER,
            ["A", *base, "2026-02-11", "", ""],
            ["B", *base, "", "owner", ""],
            ["C", *base, "2027-02-11", "owner", ""],
            ["D", *base, "2026-02-11", "owned", ""],
            ["E", *base, "2026-02-11", "gone", ""],
            ["F", "rumour", *base[1:-1], "abc", "", "", ""],
            ["G", *base[:-1], "abc", "", "", ""],
        ) == [
            "row 2, checked on: say both who checked it and when.",
            "row 3, checked on: say both who checked it and when.",
            "row 4, checked on: 2027-02-11 is still to come.",
            "row 5, checked by: there is no person who signs in as “owned”. Did you mean owner?",
            "row 6, checked by: gone does not work here any more.",
            "row 7, kind: “rumour” is none of: letter, bulletin, homologation paper, handbook "
            "page, organiser's list, photograph of a sidewall, independent test report.",
            "row 8, digest: A digest is 64 figures and small letters a to f.",
        ]  # fmt: skip
