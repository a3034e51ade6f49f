"""Wheels, pressures and fitments of variants, and which variant a customer's car is."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from fitments.activities import fittings, wheels
from fitments.models.car import IdentifiedCar
from fitments.models.fitment import Fitment, Standing
from inventory.ground.entries.faults import Faulty
from inventory.markings import read_size, search_keys
from tests.factories.cars import VariantFactory
from tests.factories.people import CustomerCarFactory, UserFactory
from tests.factories.when import AT


@pytest.fixture
def who(db):
    return {"by": UserFactory(), "at": AT}


@pytest.fixture
def variant(db):
    return VariantFactory()


class TestWheels:
    @pytest.mark.parametrize(
        ("rim", "bead", "mm", "seat"),
        [
            ("15", "", 381, "5-degree"),
            ('15"', "", 381, "5-degree"),
            ("16.5", "", 419, "15-degree"),
            ("390", "", 390, "metric"),
            ("400", "", 400, "old millimetre"),
            ("580", "Beaded edge", 580, "beaded edge"),
            ("15", "5-degree", 381, "5-degree"),
        ],
    )
    def test_a_rim_is_read_with_its_seat(self, who, variant, rim, bead, mm, seat):
        wheel = wheels.make_wheel_option(
            variant=variant, name="a", axle="front", rim_text=rim, bead=bead, **who
        )
        assert (wheel.rim_mm, wheel.bead) == (mm, seat)

    @pytest.mark.parametrize(
        ("values", "field", "words"),
        [
            ({"rim_text": "51"}, "rim_text", "a rim diameter"),
            ({"rim_text": "580"}, "rim_text", "a rim diameter"),  # only with its seat named
            ({"rim_text": "15", "bead": "metric"}, "bead", "has the seat “5-degree”, not “metric”"),
            (
                {"rim_text": "15", "width_in": Decimal(55)},
                "width_in",
                "not the width of a car's rim",
            ),
            ({"rim_text": "15", "axle": "middle"}, "axle", "not a valid choice"),
        ],
    )
    def test_what_cannot_be(self, who, variant, values, field, words):
        told = {"variant": variant, "name": "a", "axle": "front"}
        with pytest.raises(Faulty, match=words) as refusal:
            wheels.make_wheel_option(**(told | values), **who)
        assert refusal.value.field == field

    def test_one_wheel_an_axle_is_the_listed_one(self, who, variant):
        values = {"variant": variant, "axle": "front", "rim_text": "15"}
        first = wheels.make_wheel_option(name="a", **values, **who)
        with pytest.raises(Faulty, match="Only one wheel an axle is the listed one"):
            wheels.make_wheel_option(name="b", **values, **who)
        wheels.make_wheel_option(name="b", standard=False, **values, **who)
        wheels.make_wheel_option(name="a", **(values | {"axle": "rear"}), **who)
        with pytest.raises(Faulty, match="told already for this axle"):
            wheels.make_wheel_option(name="a", standard=False, **values, **who)
        wheels.change_wheel_option(wheel=first, standard=False, width_in=Decimal("5.5"), **who)
        assert variant.wheel_options.get(name="a", axle="front").width_in == Decimal("5.5")

    def test_another_rim_brings_its_own_seat(self, who, variant):
        wheel = wheels.make_wheel_option(
            variant=variant, name="a", axle="front", rim_text="15", **who
        )
        changed = wheels.change_wheel_option(wheel=wheel, rim_text="390", **who)
        assert (changed.rim_mm, changed.bead) == (390, "metric")


class TestPressures:
    def test_as_a_source_states_it(self, who, variant):
        row = wheels.make_pressure(
            variant=variant, axle="front", size="185/70r15", condition="laden", kpa=200,
            source="handbook S1, page 31", **who,
        )  # fmt: skip
        assert (row.size, row.kpa) == ("185/70 R 15", 200)
        assert wheels.change_pressure(pressure=row, kpa=210, **who).kpa == 210

    @pytest.mark.parametrize(
        ("values", "words"),
        [({"kpa": 20}, "between 50 and 700"), ({"kpa": 2000}, "between 50 and 700"),
         ({"source": ""}, "cannot be blank"), ({"size": "round"}, "cannot be read"),
         ({"kpa": None}, "cannot be null")],
    )  # fmt: skip
    def test_what_cannot_be(self, who, variant, values, words):
        told = {"variant": variant, "axle": "front", "size": "", "kpa": 200, "source": "S1"}
        with pytest.raises(Faulty, match=words):
            wheels.make_pressure(**(told | values), **who)


class TestFitments:
    @pytest.fixture
    def fit(self, who, variant):
        def make(**values):
            told = {"variant": variant, "axle": "front", "size_text": "165 SR 15",
                    "standing": Standing.FITTED_NEW, "source": "handbook"}  # fmt: skip
            return fittings.make_fitment(**(told | values), **who)

        return make

    def test_a_size_is_read_into_its_columns(self, fit):
        row = fit(size_text="165sr15", least_load_index=86, least_speed="s")
        assert (row.size_text, row.size, row.rim_mm) == ("165sr15", "165 SR 15", 381)
        assert row.size_keys == sorted(search_keys(read_size("165 SR 15")))
        assert (row.least_load_index, row.least_speed) == (86, "S")

    def test_a_size_may_change_inside_a_model_year(self, fit, variant):
        fit(built_to=date(1964, 3, 15))
        fit(size_text="175 SR 15", built_from=date(1964, 3, 16))
        assert variant.fitments.count() == 2

    @pytest.mark.parametrize(
        ("values", "field", "words"),
        [
            ({"size_text": "round"}, "size_text", "cannot be read"),
            ({"size_text": ""}, "size_text", "cannot be blank"),
            ({"least_load_index": 999}, "least_load_index", "is no load index"),
            ({"least_speed": "X"}, "least_speed", "is no speed symbol"),
            (
                {"built_from": date(1965, 1, 1), "built_to": date(1964, 1, 1)},
                None,
                "before the last",
            ),
            ({"source": ""}, "source", "cannot be blank"),
            ({"standing": "guessed"}, "standing", "not a valid choice"),
        ],
    )
    def test_what_cannot_be(self, fit, values, field, words):
        with pytest.raises(Faulty, match=words) as refusal:
            fit(**values)
        assert field is None or refusal.value.field == field
        assert not Fitment.objects.exists()

    def test_the_same_said_twice_however_it_is_written(self, fit):
        fit()
        with pytest.raises(Faulty, match="told already for this axle and time"):
            fit(size_text="165sr15")

    def test_a_change_reads_the_new_size(self, fit, who):
        row = fittings.change_fitment(fitment=fit(), size_text="5.60-13", **who)
        assert (row.size, row.rim_mm) == ("5.60-13", 330)


class TestIdentify:
    def test_said_and_said_otherwise(self, who, variant):
        car = CustomerCarFactory()
        assert fittings.identify(customer_car=car, variant=variant, **who).variant == variant
        other = VariantFactory()
        fittings.identify(customer_car=car, variant=other, **who)
        assert IdentifiedCar.objects.get().variant == other

    def test_two_cars_may_be_of_one_variant(self, who, variant):
        for _ in range(2):
            fittings.identify(customer_car=CustomerCarFactory(), variant=variant, **who)
        assert IdentifiedCar.objects.count() == 2
