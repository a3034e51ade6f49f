"""Car makers, model ranges, variants, wheels, pressures and fitments from spreadsheets."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from fitments.models.car import CarMaker, IdentifiedCar, Pressure, Variant, VehicleLine, WheelOption
from fitments.models.fitment import Fitment, Standing
from inventory.models.companion import RimKind
from tests.factories.cars import CarMakerFactory, VariantFactory, VehicleLineFactory
from tests.factories.people import CustomerCarFactory, CustomerFactory
from tests.ground.sheet_files import xlsx_file
from tests.ground.sheet_loads import loaded, wrong

pytestmark = pytest.mark.django_db


def test_makers_and_ranges():
    loaded("car-makers", ["code", "name", "country"], ["HLM", "Hallmere", "Portugal"])
    loaded("model-ranges", ["maker", "code", "name"], ["hlm", "SPR", "Sprint"])
    assert str(VehicleLine.objects.get()) == "Hallmere Sprint"
    assert CarMaker.objects.get().country == "Portugal"


def test_two_ranges_of_one_name():
    CarMakerFactory(code="A")
    CarMakerFactory(code="B")
    rows = (
        ["maker", "code", "name"],
        ["A", "1", "Sprint"],
        ["A", "2", "SPRINT"],
        ["B", "3", "Sprint"],
    )
    assert wrong("model-ranges", *rows) == [
        "row 3, name: This maker has a model range of this name already."
    ]


def test_a_new_name_of_a_range_is_searched_at_once():
    variant = VariantFactory(vehicle_line__code="SPR", vehicle_line__maker__code="HLM")
    loaded("model-ranges", ["maker", "code", "name"], ["HLM", "SPR", "Élan"])
    variant.refresh_from_db()
    assert " elan " in variant.search


class TestVariants:
    HEADINGS = ["model range", "code", "name", "body", "built from", "built to", "chassis"]

    @pytest.fixture(autouse=True)
    def sprint(self):
        return VehicleLineFactory(code="SPR", name="Sprint", maker__name="Hallmere")

    def test_a_row_with_everything(self, sprint):
        cells = {
            "model range": "spr", "code": "SPR-16", "name": "1.6", "body": "saloon",
            "built from": "1961-09-01", "built to": "1966-07-29", "top speed km/h": "152",
            "front axle kg": "560", "rear axle kg": "610", "front wheels": "2",
            "rear wheels": "4", "largest diameter mm": "670", "competition": "yes",
            "racing scheme": "of the papers", "racing period": "F",
            "chassis": "HS 100-250; HSA 1-90", "source": "parts list 12", "note": "works car",
        }  # fmt: skip
        loaded("variants", list(cells), list(cells.values()))
        row = Variant.objects.get()
        assert (row.vehicle_line, row.name, row.search) == (
            sprint,
            "1.6",
            "hallmere sprint 1.6 saloon",
        )
        assert (row.built_from, row.built_to) == (date(1961, 9, 1), date(1966, 7, 29))
        assert (row.top_speed_kmh, row.front_axle_kg, row.rear_axle_kg) == (152, 560, 610)
        assert (row.front_wheels, row.rear_wheels, row.arch_overall_max_mm) == (2, 4, 670)
        assert (row.competition, row.racing_scheme, row.racing_period) == (
            True,
            "of the papers",
            "F",
        )
        assert [str(one) for one in row.chassis_ranges.all()] == ["HS100-HS250", "HSA1-HSA90"]

    def test_empty_cells_are_open_ends_and_defaults(self):
        loaded("variants", [*self.HEADINGS, "front wheels", "competition"],
               ["SPR", "A", "1.6", "", "", "", "", "", ""])  # fmt: skip
        row = Variant.objects.get()
        assert (row.built_from, row.front_wheels, row.competition) == (None, 2, False)

    def test_only_the_chassis_numbers_changed_is_a_change(self):
        loaded("variants", self.HEADINGS, ["SPR", "A", "1.6", "", "", "", "HS 1-9"])
        again = ["SPR", "A", "1.6", "", "", "", "HS 1-9"]
        assert loaded("variants", self.HEADINGS, again).same == 1
        assert loaded("variants", self.HEADINGS, [*again[:-1], "HS 1-20"]).changed == 1

    def test_every_row_is_told(self):
        assert wrong(
            "variants", [*self.HEADINGS, "front wheels"],
            ["SPQ", "A", "1", "", "", "", "", ""],
            ["SPR", "B", "1", "", "1961", "", "", ""],
            ["SPR", "C", "1", "", "1966-01-01", "1961-01-01", "", ""],
            ["SPR", "D", "1", "", "", "", "HS 9-1; HS x", ""],
            ["SPR", "E", "1", "", "", "", "", "3"],
            ["SPR", "B", "1", "", "", "", "", ""],
        ) == [
            "row 2, model range: there is no model range “SPQ”.",
            "row 3, built from: “1961” is not a day written as year-month-day, such as 2026-03-01 "
            "for the first of March.",
            "row 4, built from: The first day of building comes before the last.",
            "row 5, chassis: The first chassis number comes before the last, unlike in “HS 9-1”.",
            "row 6, front wheels: An axle has one, two or four wheels.",
        ]  # fmt: skip


class TestWheels:
    HEADINGS = [
        "variant",
        "wheel",
        "axle",
        "rim",
        "width in",
        "bead",
        "rim kind",
        "tubed",
        "as listed",
    ]

    @pytest.fixture(autouse=True)
    def variant(self):
        return VariantFactory(code="V1")

    def test_both_axles_are_two_rows(self, variant):
        done = loaded(
            "wheels", self.HEADINGS,
            ["v1", "5 J", "both", "15", "5", "", "Steel disc", "yes", ""],
            ["V1", "wire", "Rear", "15", "5.5", "", "spoked", "yes", "no"],
            ["V1", "wood", "front", "580", "", "beaded edge", "", "", "no"],
        )  # fmt: skip
        assert (done.rows, done.new) == (3, 4)
        five = variant.wheel_options.filter(name="5 J").order_by("axle")
        assert [(w.axle, w.rim_mm, w.bead, w.width_in) for w in five] == [
            ("front", 381, "5-degree", Decimal(5)), ("rear", 381, "5-degree", Decimal(5)),
        ]  # fmt: skip
        wire = variant.wheel_options.get(name="wire")
        assert (wire.rim_kind, wire.tubed, wire.standard) == (RimKind.SPOKED, True, False)
        assert variant.wheel_options.get(name="wood").rim_mm == 580

    def test_loading_again_changes_nothing(self):
        row = ["V1", "5 J", "both", "15", "5", "", "", "", ""]
        loaded("wheels", self.HEADINGS, row)
        assert loaded("wheels", self.HEADINGS, row).same == 2

    def test_another_wheel_becomes_the_listed_one(self, variant):
        loaded("wheels", self.HEADINGS, ["V1", "5 J", "both", "15", "5", "", "", "", "yes"])
        loaded("wheels", self.HEADINGS, ["V1", "5 J", "both", "15", "5", "", "", "", "no"],
               ["V1", "6 J", "both", "15", "6", "", "", "", "yes"])  # fmt: skip
        listed = variant.wheel_options.filter(standard=True)
        assert {wheel.name for wheel in listed} == {"6 J"}

    def test_every_row_is_told(self):
        told = wrong(
            "wheels", self.HEADINGS,
            ["V2", "a", "both", "15", "5", "", "", "", ""],
            ["V1", "b", "middle", "15", "5", "", "", "", "no"],
            ["V1", "c", "both", "51", "5", "", "", "", "no"],
            ["V1", "d", "both", "15", "5", "metric", "", "", "no"],
            ["V1", "e", "front", "15", "5", "", "", "", "yes"],
            ["V1", "f", "both", "15", "5", "", "", "", "yes"],
            ["V1", "e", "front", "15", "6", "", "", "", "no"],
        )  # fmt: skip
        assert [words.split(":")[0] for words in told] == [
            "row 2, variant", "row 3, axle", "row 4, rim", "row 4, rim", "row 5, bead",
            "row 5, bead", "row 7, axle", "row 8, axle",
        ]  # fmt: skip
        assert told[6] == "row 7, axle: Only one wheel an axle is the listed one."


class TestPressures:
    HEADINGS = ["variant", "axle", "size", "when", "kPa", "source"]

    def test_rows(self):
        VariantFactory(code="V1")
        loaded("pressures", self.HEADINGS, ["V1", "both", "165sr15", "laden", "200", "S1, page 31"])
        front, _ = Pressure.objects.order_by("axle")
        assert (front.size, front.condition, front.kpa) == ("165 SR 15", "laden", 200)
        again = loaded(
            "pressures", self.HEADINGS, ["V1", "both", "165 SR 15", "laden", "210", "S1"]
        )
        assert (again.new, again.changed) == (0, 2)

    def test_rows_that_cannot_be(self):
        VariantFactory(code="V1")
        assert wrong(
            "pressures", self.HEADINGS,
            ["V1", "front", "", "", "30", "S1"],
            ["V1", "front", "", "laden", "2.1 bar", "S1"],
            ["V1", "rear", "", "", "200", ""],
        ) == [
            "row 2, kPa: A car's tyre pressure lies between 50 and 700 kPa.",
            "row 3, kPa: “2.1 bar” is not a whole number, written without any mark or unit.",
            "row 4, source: this cell is empty, and is needed.",
        ]  # fmt: skip


class TestFitments:
    HEADINGS = ["variant", "axle", "combination", "size", "least load index", "least speed",
                "standing", "built from", "built to", "wheel", "source"]  # fmt: skip

    @pytest.fixture(autouse=True)
    def variant(self):
        variant = VariantFactory(code="V1")
        WheelOption.objects.create(
            variant=variant, name="5 J", axle="front", rim_text="15", rim_mm=381
        )
        return variant

    def row(self, **cells):
        told = {"variant": "V1", "axle": "front", "size": "165 SR 15",
                "standing": "fitted when new", "source": "S1"}  # fmt: skip
        return [(told | cells).get(heading, "") for heading in self.HEADINGS]

    def test_a_staggered_pair_and_a_change_inside_a_model_year(self):
        loaded(
            "fitments", self.HEADINGS,
            self.row(**{"built to": "1964-03-15", "least load index": "86", "least speed": "s"}),
            self.row(axle="rear", size="175sr15", **{"built to": "1964-03-15"}),
            self.row(axle="both", size="175 SR 15", **{"built from": "1964-03-16"}),
            self.row(combination="B", standing="Accepted alternative", wheel="5 j"),
        )  # fmt: skip
        assert Fitment.objects.count() == 5
        first = Fitment.objects.get(axle="front", built_to__isnull=False)
        assert (first.size, first.least_load_index, first.least_speed) == ("165 SR 15", 86, "S")
        assert first.standing == Standing.FITTED_NEW
        rear = Fitment.objects.get(axle="rear", built_to__isnull=False)
        assert (rear.size_text, rear.size) == ("175sr15", "175 SR 15")
        assert Fitment.objects.get(combination="B").wheel == "5 j"

    def test_a_row_is_known_by_the_size_however_it_is_written(self):
        loaded("fitments", self.HEADINGS, self.row(size="165 SR 15"))
        again = loaded("fitments", self.HEADINGS, self.row(size="165sr15", source="S2"))
        assert (again.new, again.changed) == (0, 1)

    def test_every_row_is_told(self):
        told = wrong(
            "fitments", self.HEADINGS,
            self.row(size="round"),
            self.row(size="175 SR 15", **{"least load index": "999"}),
            self.row(size="185 SR 15", **{"least speed": "X"}),
            self.row(size="195 SR 15", wheel="6 J"),
            self.row(size="205 R 15", axle="both", wheel="5 J"),
            self.row(size="215 R 15", **{"built from": "1965-01-01", "built to": "1964-01-01"}),
            self.row(size="165 R 15", standing="guessed"),
        )  # fmt: skip
        assert [words.split(":")[0] for words in told] == [
            "row 2, size", "row 3, least load index", "row 4, least speed", "row 5, wheel",
            "row 6, wheel", "row 7, built from", "row 8, standing",
        ]  # fmt: skip
        assert "has no wheel “6 J”, front." in told[3]
        assert "has no wheel “5 J”, rear." in told[4]


class TestIdentifiedCars:
    HEADINGS = ["customer", "car", "variant"]

    def test_said_and_said_otherwise(self):
        car = CustomerCarFactory(customer__name="Orrin Tasker", description="Sprint")
        CustomerCarFactory(customer__name="Other", description="Sprint")
        one, other = VariantFactory(code="V1"), VariantFactory(code="V2")
        loaded("identified-cars", self.HEADINGS, ["orrin tasker", "SPRINT", "v1"])
        assert IdentifiedCar.objects.get(customer_car=car).variant == one
        assert (
            loaded("identified-cars", self.HEADINGS, ["Orrin Tasker", "Sprint", "V2"]).changed == 1
        )
        assert IdentifiedCar.objects.get().variant == other

    def test_cars_that_are_not_there(self):
        CustomerCarFactory(customer__name="Orrin Tasker", description="Sprint")
        CustomerFactory(name="Other")
        VariantFactory(code="V1")
        assert wrong(
            "identified-cars", self.HEADINGS,
            ["Orrin Tasker", "Sprnt", "V1"], ["Other", "Sprint", "V1"], ["Nobody", "Sprint", "V9"],
        ) == [
            "row 2, car: there is no car “Sprnt” of Orrin Tasker. Did you mean Sprint?",
            "row 3, car: there is no car “Sprint” of Other.",
            "row 4, customer: there is no customer “Nobody”.",
            "row 4, variant: there is no variant “V9”.",
        ]  # fmt: skip


def test_real_dates_of_a_workbook():
    VehicleLineFactory(code="SPR")
    data = xlsx_file(
        ["model range", "code", "name", "built from"], ["SPR", "A", "1.6", date(1961, 9, 1)]
    )
    assert wrong("variants", data=data) == []
