"""Cars, wheels, fitments and organisers over the API."""

from __future__ import annotations

import pytest

from fitments.models.car import IdentifiedCar, Variant
from tests.factories.approvals import CompetitionClassFactory, OrganiserFactory
from tests.factories.cars import (
    CarMakerFactory,
    ChassisRangeFactory,
    FitmentFactory,
    PressureFactory,
    VariantFactory,
    VehicleLineFactory,
    WheelOptionFactory,
)
from tests.factories.people import CustomerCarFactory
from tests.support.calling import ROOT, every_row, read, refused, write

pytestmark = pytest.mark.django_db


@pytest.fixture
def buyer(api):
    return api("buyer")


def made(client, path, sent) -> dict:
    answer = write(client, "post", path, sent)
    assert answer.status_code == 201, answer.content
    return answer.json()


def codes(client, path, **query) -> set[str]:
    return {row["code"] for row in every_row(client, path, **query)}


class TestVariants:
    """From the maker down to what was built."""

    @pytest.fixture
    def line(self, buyer) -> dict:
        maker = made(buyer, "car-makers/", {"code": "HAL", "name": "Hallmere"})
        return made(buyer, "model-ranges/", {"maker": maker["id"], "code": "SPR", "name": "Sprint"})

    @pytest.fixture
    def saloon(self, line) -> dict:
        return {
            "vehicle_line": line["id"],
            "code": "SPR-16-SAL",
            "name": "1.6",
            "body": "saloon",
            "built_from": "1961-09-01",
            "built_to": "1966-07-29",
            "top_speed_kmh": "98 mph",
            "front_axle_kg": "1235 lb",
            "chassis_ranges": [{"prefix": "hs", "number_from": 100, "number_to": 2500}],
        }

    def test_entered_with_units_and_chassis_numbers(self, buyer, saloon):
        row = made(buyer, "variants/", saloon)
        assert (row["maker_name"], row["vehicle_line_name"]) == ("Hallmere", "Sprint")
        # 1 mile = 1.609344 km, 1 lb = 0.45359237 kg (NIST Special Publication 811, B.8)
        assert (row["top_speed_kmh"], row["front_axle_kg"]) == (158, 560)
        assert row["chassis_ranges"] == [{"prefix": "HS", "number_from": 100, "number_to": 2500}]
        assert Variant.objects.get().search == "hallmere sprint 1.6 saloon"

    def test_found_at_once_by_what_it_is_called(self, buyer, saloon):
        made(buyer, "variants/", saloon)
        VariantFactory(search="tarnside fellfoot estate")
        assert codes(buyer, "variants/", q="HÁLLMERE sal") == {"SPR-16-SAL"}
        assert codes(buyer, "variants/", q="hallmere coupe") == set()

    def test_found_by_chassis_number(self, buyer):
        variant = VariantFactory(code="A")
        ChassisRangeFactory(variant=variant, prefix="HS", number_from=100, number_to=250)
        ChassisRangeFactory(prefix="HT", number_from=1, number_to=999)
        assert codes(buyer, "variants/", chassis="hs 120") == {"A"}
        assert codes(buyer, "variants/", chassis="HS251") == set()
        assert codes(buyer, "variants/", chassis="nonsense") == set()

    def test_built_on_a_day_as_far_as_is_known(self, buyer):
        VariantFactory(code="A", built_from="1961-09-01", built_to="1964-06-30")
        VariantFactory(code="B", built_from="1964-07-01", built_to=None)
        VariantFactory(code="C", built_from=None, built_to=None)
        assert codes(buyer, "variants/", built_on="1964-06-30") == {"A", "C"}
        assert codes(buyer, "variants/", built_on="1964-07-01") == {"B", "C"}
        assert codes(buyer, "variants/", built_on="1961-08-31") == {"C"}

    def test_by_maker_range_and_competition(self, buyer):
        racer = VariantFactory(works_racer=True, code="R")
        VariantFactory()
        line = racer.vehicle_line
        for query in (
            {"vehicle_line": line.pk}, {"maker": line.maker_id}, {"competition": "true"},
            {"code": "r"},
        ):  # fmt: skip
            assert codes(buyer, "variants/", **query) == {"R"}

    @pytest.mark.parametrize(
        ("change", "status", "pointer"),
        [
            ({"built_to": "1950-01-01"}, 422, None),
            ({"built_to": "1964"}, 400, "/built_to"),
            ({"front_wheels": 3}, 422, None),
            ({"top_speed_kmh": "fast"}, 400, "/top_speed_kmh"),
            ({"top_speed_kmh": 5000}, 422, "/top_speed_kmh"),
            ({"racing_period": "F"}, 422, "/racing_period"),
            ({"chassis_ranges": [{"number_from": 9, "number_to": 1}]}, 400, "/chassis_ranges/0"),
            ({"search": "x"}, 400, "/search"),
        ],
    )
    def test_what_cannot_be_built(self, buyer, saloon, change, status, pointer):
        answer = write(buyer, "post", "variants/", saloon | change)
        refused(answer, status, pointer=pointer)
        assert Variant.objects.count() == 0

    def test_changed_in_part(self, buyer, saloon):
        row = made(buyer, "variants/", saloon)
        answer = write(buyer, "patch", f"variants/{row['id']}/", {"body": "estate"})
        assert answer.json() == row | {"body": "estate"}
        assert Variant.objects.get().search.endswith("estate")

    def test_a_renamed_maker_is_searched_by_its_new_name(self, buyer, saloon):
        row = made(buyer, "variants/", saloon)
        maker = Variant.objects.get(pk=row["id"]).vehicle_line.maker_id
        write(buyer, "patch", f"car-makers/{maker}/", {"name": "Tarnside"})
        assert codes(buyer, "variants/", q="tarnside") == {"SPR-16-SAL"}

    def test_makers_and_ranges_by_words(self, buyer):
        line = VehicleLineFactory(name="Fellfoot", maker__name="Hallmere")
        VehicleLineFactory()
        assert codes(buyer, "model-ranges/", q="hallmere fell") == {line.code}
        assert codes(buyer, "model-ranges/", maker=line.maker_id) == {line.code}
        assert codes(buyer, "car-makers/", q="hallmere") >= {line.maker.code}


class TestFittings:
    """What can stand on a car."""

    def test_a_wheel_by_its_mark(self, buyer):
        variant = VariantFactory()
        sent = {"variant": variant.pk, "name": "wire", "axle": "front", "rim_text": "380"}
        row = made(buyer, "wheel-options/", sent | {"width_in": "5.5", "rim_kind": "spoked"})
        assert (row["rim_mm"], row["width_in"]) == (381, 5.5)
        answer = write(
            buyer, "post", "wheel-options/", sent | {"rim_text": "round", "axle": "rear"}
        )
        refused(answer, 422, "rim diameter", "/rim_text")
        after = write(buyer, "patch", f"wheel-options/{row['id']}/", {"width_in": "152.4 mm"})
        assert after.json()["width_in"] == 6.0

    def test_wheels_of_a_rim(self, buyer):
        row = made(
            buyer,
            "wheel-options/",
            {"variant": VariantFactory().pk, "name": "disc", "axle": "rear", "rim_text": "15"},
        )
        WheelOptionFactory(rim_mm=406)
        assert [each["id"] for each in every_row(buyer, "wheel-options/", rim="15")] == [row["id"]]
        assert every_row(buyer, "wheel-options/", variant=row["variant"], axle="front") == []

    def test_a_pressure_with_its_unit_and_source(self, buyer):
        sent = {"variant": VariantFactory().pk, "axle": "front", "kpa": "26 psi", "source": "p. 40"}
        row = made(buyer, "pressures/", sent)
        # 1 psi = 6.894757 kPa (NIST Special Publication 811, B.8)
        assert row["kpa"] == 179
        refused(write(buyer, "post", "pressures/", sent | {"kpa": 9}), 422, "between 50 and 700")
        refused(write(buyer, "post", "pressures/", sent | {"kpa": None}), 400, pointer="/kpa")
        PressureFactory()
        assert len(every_row(buyer, "pressures/", variant=row["variant"])) == 1

    def test_a_fitment_by_a_size_in_any_form(self, buyer):
        variant = VariantFactory()
        sent = {
            "variant": variant.pk, "axle": "front", "size_text": "185/70hr15",
            "standing": "fitted_new", "source": "handbook, page 38", "least_speed": "s",
        }  # fmt: skip
        row = made(buyer, "fitments/", sent)
        assert (row["size"], row["rim_mm"], row["least_speed"]) == ("185/70 HR 15", 381, "S")
        FitmentFactory(size_text="165 R 13", size_keys=["other"])
        for query in ({"size": "185 70 15"}, {"variant": variant.pk},
                      {"vehicle_line": variant.vehicle_line_id}):  # fmt: skip
            assert [each["id"] for each in every_row(buyer, "fitments/", **query)] == [row["id"]]
        refused(write(buyer, "post", "fitments/", sent), 422, "told already")
        answer = write(buyer, "patch", f"fitments/{row['id']}/", {"size_text": "185/70 R"})
        refused(answer, 422, "was expected", "/size_text")

    def test_which_variant_a_car_is_may_be_said_anew(self, api):
        car, counter = CustomerCarFactory(), api("counter")
        first, second = VariantFactory.create_batch(2)
        row = made(counter, "identified-cars/", {"customer_car": car.pk, "variant": first.pk})
        again = made(counter, "identified-cars/", {"customer_car": car.pk, "variant": second.pk})
        assert (again["id"], again["variant"]) == (row["id"], second.pk)
        assert IdentifiedCar.objects.get().variant == second
        rows = every_row(counter, "identified-cars/", customer=car.customer_id)
        assert rows == [again]


class TestOrganisers:
    """Who runs races, and which cars they admit."""

    def test_a_class_with_its_cars(self, api):
        owner = api("owner")
        organiser = made(owner, "organisers/", {"code": "FHR", "name": "Fellside Historic Racing"})
        cars = VariantFactory.create_batch(2)
        sent = {
            "organiser": organiser["id"], "code": "FHR-26-A", "season": 2026,
            "name": "saloons before 1966", "variants": [car.pk for car in cars],
        }  # fmt: skip
        row = made(owner, "classes/", sent)
        assert sorted(row["variants"]) == sorted(sent["variants"])
        after = write(owner, "patch", f"classes/{row['id']}/", {"variants": [cars[0].pk]}).json()
        assert after["variants"] == [cars[0].pk]
        kept = write(owner, "patch", f"classes/{row['id']}/", {"age_limit_months": 60}).json()
        assert kept["variants"] == [cars[0].pk]
        refused(write(owner, "post", "classes/", sent | {"season": 26}), 422, "four figures")

    def test_by_season_organiser_and_car(self, api):
        owner, car = api("owner"), VariantFactory()
        one = CompetitionClassFactory(season=2025, variants=[car])
        CompetitionClassFactory()
        for query in ({"season": 2025}, {"organiser": one.organiser_id}, {"variant": car.pk}):
            assert codes(owner, "classes/", **query) == {one.code}
        newest = read(owner, "classes/")["results"]
        assert [row["season"] for row in newest] == [2026, 2025]

    def test_organisers_by_words(self, api):
        one = OrganiserFactory(name="Marrow Hill Climbs")
        OrganiserFactory()
        assert codes(api("counter"), "organisers/", q="marrow") == {one.code}


def test_a_maker_is_there_once(buyer):
    CarMakerFactory(code="HAL", name="Hallmere")
    answer = write(buyer, "post", "car-makers/", {"code": "HAL", "name": "Another"})
    refused(answer, 422, "is there already", "/code")
    refused(buyer.get(f"{ROOT}car-makers/77/"), 404)
