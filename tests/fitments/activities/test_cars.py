"""Car makers, model ranges, variants and their chassis numbers."""

from __future__ import annotations

from datetime import date

import pytest

from fitments.activities import cars
from fitments.activities.chassis import NotARange, Range, read_range
from fitments.lookup.finding import plain
from fitments.models.car import ChassisRange, Variant
from inventory.ground.entries.faults import Faulty
from tests.factories.cars import CarMakerFactory, VariantFactory, VehicleLineFactory
from tests.factories.people import UserFactory
from tests.factories.when import AT


@pytest.fixture
def who(db):
    return {"by": UserFactory(), "at": AT}


@pytest.fixture
def sprint(who):
    """Makes a variant of the Sprint by Hällmere."""
    line = VehicleLineFactory(name="Sprint", maker__name="Hällmere", maker__code="HLM")

    def make(**values):
        told = {"vehicle_line": line, "code": "SPR-16", "name": "1.6", "body": "Saloon"}
        return cars.make_variant(**(told | values), **who)

    return make


class TestVariants:
    def test_a_variant_can_be_searched_at_once(self, sprint):
        variant = sprint()
        variant.refresh_from_db()
        assert variant.search == "hallmere sprint 1.6 saloon"
        assert variant.search == plain("Hällmere Sprint 1.6 Saloon")

    @pytest.mark.parametrize(
        ("name", "found"), [("Straße", "strasse"), ("Ørsted", "orsted"), ("ÉCLAIR", "eclair")]
    )
    def test_what_is_searched_has_no_accents(self, sprint, name, found):
        variant = sprint(name=name, body="")
        variant.refresh_from_db()
        assert variant.search == f"hallmere sprint {found}"

    def test_a_new_name_anywhere_is_searched_at_once(self, sprint, who):
        variant = sprint()
        cars.change_variant(variant=variant, body="estate", **who)
        assert Variant.objects.get().search.endswith("1.6 estate")
        cars.change_vehicle_line(vehicle_line=variant.vehicle_line, name="Sprinter", **who)
        assert Variant.objects.get().search == "hallmere sprinter 1.6 estate"
        cars.change_car_maker(maker=variant.vehicle_line.maker, name="Hallmere Cars", **who)
        assert Variant.objects.get().search == "hallmere cars sprinter 1.6 estate"

    def test_a_range_of_another_maker_is_searched_by_the_new_one(self, sprint, who):
        variant = sprint()
        other = CarMakerFactory(name="Ellerby")
        cars.change_vehicle_line(vehicle_line=variant.vehicle_line, maker=other, **who)
        assert Variant.objects.get().search.startswith("ellerby sprint")

    def test_variants_of_others_are_left_alone(self, sprint, who):
        other = VariantFactory()
        Variant.objects.filter(pk=other.pk).update(search="as it was")
        cars.change_variant(variant=sprint(), name="1.7", **who)
        other.refresh_from_db()
        assert other.search == "as it was"

    @pytest.mark.parametrize(
        ("values", "field", "words"),
        [
            (
                {"built_from": date(1966, 1, 1), "built_to": date(1961, 1, 1)},
                None,
                "before the last",
            ),
            ({"front_wheels": 3}, None, "one, two or four wheels"),
            ({"top_speed_kmh": 700}, "top_speed_kmh", "less than or equal to 450"),
            ({"top_speed_kmh": 5}, "top_speed_kmh", "greater than or equal to 10"),
            ({"front_axle_kg": -1}, "front_axle_kg", "greater than or equal to 0"),
            ({"racing_period": "F"}, "racing_period", "belongs to a scheme"),
            ({"racing_scheme": "of the papers"}, "racing_period", "belongs to a scheme"),
            ({"name": ""}, "name", "cannot be blank"),
            ({"code": "x" * 61}, "code", "at most 60"),
            ({"body": "a\x00b"}, "body", "control character"),
        ],
    )
    def test_what_cannot_be(self, sprint, values, field, words):
        with pytest.raises(Faulty, match=words) as refusal:
            sprint(**values)
        assert field is None or refusal.value.field == field
        assert not Variant.objects.exists()

    def test_a_code_that_is_there_already(self, sprint):
        sprint()
        with pytest.raises(Faulty, match="A variant of this code is there already"):
            sprint(name="other")


class TestMakersAndRanges:
    def test_made_and_changed(self, who):
        maker = cars.make_car_maker(code="HLM", name="Hallmere", **who)
        line = cars.make_vehicle_line(maker=maker, code="SPR", name="Sprint", **who)
        cars.change_car_maker(maker=maker, country="Portugal", **who)
        cars.change_vehicle_line(vehicle_line=line, name="Sprinter", **who)
        line.refresh_from_db()
        assert (str(line), line.maker.country) == ("Hallmere Sprinter", "Portugal")

    def test_names_that_are_there_already(self, who):
        line = VehicleLineFactory(name="Sprint")
        with pytest.raises(Faulty, match="car maker of this name is there already"):
            cars.make_car_maker(code="X", name=line.maker.name.upper(), **who)
        with pytest.raises(Faulty, match="has a model range of this name already"):
            cars.make_vehicle_line(maker=line.maker, code="X", name="SPRINT", **who)
        cars.make_vehicle_line(maker=CarMakerFactory(), code="X", name="Sprint", **who)


class TestChassis:
    @pytest.mark.parametrize(
        ("text", "read"),
        [
            ("HS 100-250", ("HS", 100, 250)),
            ("hs 100 - 250", ("HS", 100, 250)),
            ("100-250", ("", 100, 250)),
            ("HS 7 100–250", ("HS 7", 100, 250)),
            (" LA 1001-41260 ", ("LA", 1001, 41260)),
            ("A/B 5-5", ("A/B", 5, 5)),
        ],
    )
    def test_ranges(self, text, read):
        assert read_range(text) == read

    @pytest.mark.parametrize(
        ("text", "words"),
        [
            ("", "is no range of chassis numbers, such as"),
            ("HS", "is no range"),
            ("HS 100", "is no range"),
            ("HS 100-", "is no range"),
            ("HS 1-" + "9" * 16, "is no range"),
            ("HS 250-100", "The first chassis number comes before the last"),
            ("x" * 21 + " 1-2", "A prefix has at most 20 signs"),
            ("x" * 10_000, "is no range"),
            ("HS １-２", "is no range"),
        ],
    )
    def test_what_is_no_range(self, text, words):
        with pytest.raises(NotARange, match=words) as refusal:
            read_range(text)
        assert len(str(refusal.value)) < 160

    def test_a_variant_has_exactly_what_was_given(self, sprint, who):
        variant = sprint(chassis_ranges=[Range("HS", 1, 9), Range("HSA", 1, 9), Range("HS", 1, 9)])
        assert [str(one) for one in variant.chassis_ranges.all()] == ["HS1-HS9", "HSA1-HSA9"]
        cars.change_variant(variant=variant, name="1.7", **who)
        assert variant.chassis_ranges.count() == 2
        cars.change_variant(variant=variant, chassis_ranges=[Range("HSA", 1, 20)], **who)
        assert [str(one) for one in variant.chassis_ranges.all()] == ["HSA1-HSA20"]
        cars.change_variant(variant=variant, chassis_ranges=[], **who)
        assert not ChassisRange.objects.exists()

    def test_ranges_that_did_not_change_are_not_written_anew(self, sprint, who):
        variant = sprint(chassis_ranges=[Range("HS", 1, 9)])
        before = variant.chassis_ranges.get().pk
        cars.change_variant(variant=variant, chassis_ranges=[Range("HS", 1, 9)], **who)
        assert variant.chassis_ranges.get().pk == before
