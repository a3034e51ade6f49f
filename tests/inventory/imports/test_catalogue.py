"""Tyre makers, patterns, compounds, suppliers, sites and places from spreadsheets."""

from __future__ import annotations

import pytest

from inventory.models.maker import AxleOnly, Compound, Pattern, Shoulder, Tread, TyreMaker, Use
from inventory.models.place import Place, PlaceKind, Site, SiteKind
from inventory.models.supplier import Supplier
from tests.factories.catalogue import CompoundFactory, PatternFactory, TyreMakerFactory
from tests.factories.people import UserFactory
from tests.factories.places import SiteFactory
from tests.ground.sheet_loads import loaded, wrong

pytestmark = pytest.mark.django_db


class TestTyreMakers:
    def test_rows(self):
        by = UserFactory()
        rows = (
            ["Code", "NAME", "country"],
            ["TARN", "Tarnbeck", "Portugal"],
            ["OKB", "Okebury", ""],
        )
        assert loaded("tyre-makers", *rows, by=by).new == 2
        row = TyreMaker.objects.get(code="TARN")
        assert (row.name, row.country) == ("Tarnbeck", "Portugal")
        assert row.history.get().history_user == by

    def test_a_maker_is_known_by_its_code_whatever_the_capitals(self):
        loaded("tyre-makers", ["code", "name"], ["TARN", "Tarnbeck"])
        assert loaded("tyre-makers", ["code", "name"], ["TARN", "Tarnbeck & Sons"]).changed == 1
        assert loaded("tyre-makers", ["code", "name"], ["tarn", "Tarnbeck & Sons"]).changed == 1
        assert TyreMaker.objects.get().code == "tarn"

    def test_two_codes_of_one_name(self):
        assert wrong("tyre-makers", ["code", "name"], ["A", "Tarnbeck"], ["B", "TARNBECK"]) == [
            "row 3, name: A tyre maker of this name is there already."
        ]


class TestPatterns:
    HEADINGS = [
        "maker",
        "name",
        "introduced",
        "withdrawn",
        "remade since",
        "tread",
        "shoulder",
        "use",
    ]

    def test_rows(self):
        maker = TyreMakerFactory(code="TARN")
        loaded(
            "patterns",
            self.HEADINGS,
            ["tarn", "Cairnway", "1961", "1974", "2009", "symmetric", "Rounded", "road"],
            ["TARN", "Fell", "", "", "", "directional", "", "Competition only"],
        )
        one, other = Pattern.objects.order_by("name")
        assert (one.maker, one.introduced, one.withdrawn, one.remade_since) == (
            maker,
            1961,
            1974,
            2009,
        )
        assert (one.tread, one.shoulder) == (Tread.SYMMETRIC, Shoulder.ROUNDED)
        assert (other.tread, other.shoulder) == (Tread.DIRECTIONAL, Shoulder.UNKNOWN)
        assert other.use == Use.COMPETITION

    def test_one_name_of_two_makers_is_two_patterns(self):
        TyreMakerFactory(code="A")
        TyreMakerFactory(code="B")
        assert loaded("patterns", ["maker", "name"], ["A", "Fell"], ["B", "Fell"]).new == 2

    def test_every_row_is_told(self):
        TyreMakerFactory(code="TARN")
        assert wrong(
            "patterns",
            self.HEADINGS,
            ["TRAN", "A", "", "", "", "", "", ""],
            ["TARN", "B", "1970", "1960", "", "", "", ""],
            ["TARN", "C", "1970.5", "", "", "wavy", "", ""],
            ["TARN", "D", "1970", "", "1950", "", "", ""],
            ["TARN", "B", "", "", "", "", "", ""],
        ) == [
            "row 2, maker: there is no tyre maker “TRAN”. Did you mean TARN?",
            "row 3, withdrawn: A pattern cannot be withdrawn before it was introduced.",
            "row 4, introduced: “1970.5” is not a whole number, written without any mark or unit.",
            "row 4, tread: “wavy” is none of: symmetric, directional, asymmetric.",
            "row 5, remade since: A pattern cannot be remade before it was introduced.",
            "row 6, name: row 3 is about the same already: keep one of the two.",
        ]  # fmt: skip

    def test_a_change_says_what_changed(self):
        pattern = PatternFactory(name="Cairnway", introduced=1961)
        rows = (["maker", "name", "introduced"], [pattern.maker.code, "Cairnway", "1962"])
        (change,) = loaded("patterns", *rows).changes
        assert str(change).endswith("Cairnway: introduced in “1961” → “1962”")


class TestCompounds:
    HEADINGS = ["maker", "code", "works from °C", "works to °C", "axle", "successor", "year"]

    def test_a_successor_may_stand_later_in_the_sheet_and_each_order_comes_to_the_same(self):
        TyreMakerFactory(code="TARN")
        rows = (
            ["TARN", "q4", "60", "95", "", "q5", "2024"],
            ["TARN", "q5", "55", "90", "rear axle only", "Q6", "2025"],
            ["TARN", "q6", "", "", "", "", ""],
        )
        assert loaded("compounds", self.HEADINGS, *rows).new == 3
        q4, q5, q6 = Compound.objects.order_by("code")
        assert (q4.successor, q5.successor, q6.successor) == (q5, q6, None)
        assert (q5.temperature_from_c, q5.temperature_to_c, q5.axle_only) == (55, 90, AxleOnly.REAR)
        assert loaded("compounds", self.HEADINGS, *reversed(rows)).same == 3

    def test_a_successor_that_is_there_already(self):
        old = CompoundFactory(code="q5", maker__code="TARN")
        loaded("compounds", ["maker", "code", "successor"], ["TARN", "q4", "q5"])
        assert Compound.objects.get(code="q4").successor == old

    def test_a_new_successor_is_a_change_and_an_empty_cell_takes_it_away(self):
        CompoundFactory(code="q5", maker__code="TARN")
        rows = ["maker", "code", "successor"]
        loaded("compounds", rows, ["TARN", "q4", ""])
        assert loaded("compounds", rows, ["TARN", "q4", "q5"]).changed == 1
        assert loaded("compounds", rows, ["TARN", "q4", ""]).changed == 1
        assert Compound.objects.get(code="q4").successor is None
        assert Compound.objects.get(code="q4").history.count() == 3

    def test_a_sheet_without_the_column_leaves_the_successor(self):
        CompoundFactory(code="q5", maker__code="TARN")
        loaded("compounds", ["maker", "code", "successor"], ["TARN", "q4", "q5"])
        loaded("compounds", ["maker", "code", "year"], ["TARN", "q4", "2024"])
        assert Compound.objects.get(code="q4").successor.code == "q5"

    def test_successors_that_cannot_be(self):
        CompoundFactory(code="q9", maker__code="OKB", maker__name="Okebury")
        TyreMakerFactory(code="TARN", name="Tarnbeck")
        assert wrong(
            "compounds",
            ["maker", "code", "successor"],
            ["TARN", "q1", "q1"],
            ["TARN", "q2", "q9"],
            ["TARN", "q3", "zz"],
        ) == [
            "row 2, successor: a compound cannot be its own successor.",
            "row 3, successor: Tarnbeck has no compound “q9”, here or in this sheet.",
            "row 4, successor: Tarnbeck has no compound “zz”, here or in this sheet.",
        ]

    def test_temperatures_that_cannot_be(self):
        TyreMakerFactory(code="TARN")
        assert wrong(
            "compounds", self.HEADINGS, ["TARN", "a", "95", "60", "", "", ""],
            ["TARN", "b", "60 C", "", "", "", ""],
        ) == [
            "row 2, works from °C: Give both temperatures, the lower one first, or neither.",
            "row 3, works from °C: “60 C” is not a whole number, written without any mark or unit.",
        ]  # fmt: skip


class TestSuppliersSitesAndPlaces:
    def test_suppliers(self):
        loaded(
            "suppliers", ["code", "name", "e-mail", "telephone", "note"],
            ["OST", "Ostrey", "a@ostrey.example", "01632 960123", "twice a year"],
        )  # fmt: skip
        row = Supplier.objects.get()
        assert (row.code, row.email, row.note) == ("OST", "a@ostrey.example", "twice a year")

    def test_sites(self):
        loaded(
            "sites", ["code", "name", "kind"], ["MAIN", "Mill Lane", ""], ["VAN", "Van", "Mobile"]
        )
        assert [(site.code, site.kind) for site in Site.objects.order_by("code")] == [
            ("MAIN", SiteKind.FIXED), ("VAN", SiteKind.MOBILE),
        ]  # fmt: skip

    def test_places(self):
        site = SiteFactory(code="MAIN")
        loaded(
            "places", ["site", "code", "kind", "walking order", "room"],
            ["MAIN", "A-01", "storage", "10", "24"], ["main", "Q", "Quarantine", "", ""],
        )  # fmt: skip
        one, other = Place.objects.order_by("code")
        assert (one.site, one.walk, one.room) == (site, 10, 24)
        assert (other.kind, other.walk, other.room) == (PlaceKind.QUARANTINE, 0, None)

    def test_places_that_cannot_be(self):
        SiteFactory(code="MAIN")
        assert wrong(
            "places", ["site", "code", "walking order", "room"],
            ["MAIN", "A", "-1", ""], ["MAIN", "B", "", "0"], ["MIAN", "C", "", ""],
            ["MAIN", "a", "", ""],
        ) == [
            "row 2, walking order: Ensure this value is greater than or equal to 0.",
            "row 3, room: Room is for one tyre or more; leave it empty if unknown.",
            "row 4, site: there is no site “MIAN”. Did you mean MAIN?",
            "row 5, code: row 2 is about the same already: keep one of the two.",
        ]  # fmt: skip
