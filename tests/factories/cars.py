"""Car makers, model ranges, variants, their wheels, and what goes on them."""

from __future__ import annotations

from datetime import date

import factory
from factory.django import DjangoModelFactory

from fitments.models.car import (
    CarMaker,
    ChassisRange,
    IdentifiedCar,
    Pressure,
    Variant,
    VehicleLine,
    WheelOption,
)
from fitments.models.fitment import Fitment, Standing
from inventory.models.companion import RimKind
from inventory.models.customer import Axle
from tests.factories.people import CustomerCarFactory
from tests.factories.sizes import size_columns


class CarMakerFactory(DjangoModelFactory):
    class Meta:
        model = CarMaker

    code = factory.Sequence(lambda n: f"CM{n}")
    name = factory.Sequence(lambda n: f"Hallmere {n}")


class VehicleLineFactory(DjangoModelFactory):
    class Meta:
        model = VehicleLine

    maker = factory.SubFactory(CarMakerFactory)
    code = factory.Sequence(lambda n: f"CM-SPRINT-{n}")
    name = factory.Sequence(lambda n: f"Sprint {n}")


class VariantFactory(DjangoModelFactory):
    """A saloon of 1962 to 1966 that does 168 km/h; ``with_wheels`` adds the listed ones."""

    class Meta:
        model = Variant
        skip_postgeneration_save = True

    class Params:
        works_racer = factory.Trait(
            name="works racer", body="two-seater", top_speed_kmh=245, competition=True,
            racing_scheme="period of the papers", racing_period="F",
        )  # fmt: skip
        unknown_speed = factory.Trait(top_speed_kmh=None)
        unknown_load = factory.Trait(front_axle_kg=None, rear_axle_kg=None)

    vehicle_line = factory.SubFactory(VehicleLineFactory)
    code = factory.Sequence(lambda n: f"CM-SPRINT-{n}-1600")
    name = "1600"
    body = "saloon"
    built_from = date(1962, 3, 1)
    built_to = date(1966, 8, 31)
    top_speed_kmh = 168
    front_axle_kg = 640
    rear_axle_kg = 620
    source = "handbook of 1964, page 12"
    search = factory.LazyAttribute(
        lambda row: f"{row.vehicle_line.maker.name} {row.vehicle_line.name} {row.name} {row.body}"
        .lower()
    )  # fmt: skip

    @factory.post_generation
    def with_wheels(self, create, extracted, **kwargs):
        if create and extracted:
            for axle in Axle.values:
                WheelOptionFactory(variant=self, axle=axle)


class ChassisRangeFactory(DjangoModelFactory):
    class Meta:
        model = ChassisRange

    variant = factory.SubFactory(VariantFactory)
    prefix = "HS"
    number_from = 100
    number_to = 2500


class WheelOptionFactory(DjangoModelFactory):
    """A 5 J x 15 disc wheel, as listed; ``wire`` is a spoked one that could be had."""

    class Meta:
        model = WheelOption

    class Params:
        wire = factory.Trait(name="wire", rim_kind=RimKind.SPOKED, tubed=True, standard=False)
        rear = factory.Trait(axle=Axle.REAR)

    variant = factory.SubFactory(VariantFactory)
    name = "disc"
    axle = Axle.FRONT
    rim_text = "15"
    rim_mm = 381
    width_in = "5.00"
    rim_kind = RimKind.DISC
    tubed = False
    standard = True


class PressureFactory(DjangoModelFactory):
    class Meta:
        model = Pressure

    variant = factory.SubFactory(VariantFactory)
    axle = Axle.FRONT
    size = "185/70 R 15"
    condition = "normal load"
    kpa = 180
    source = "handbook of 1964, page 40"


class IdentifiedCarFactory(DjangoModelFactory):
    class Meta:
        model = IdentifiedCar

    customer_car = factory.SubFactory(CustomerCarFactory)
    variant = factory.SubFactory(VariantFactory)


class FitmentFactory(DjangoModelFactory):
    """185/70 R 15 on the front axle, fitted when new; the parsed columns follow from the text."""

    class Meta:
        model = Fitment

    class Params:
        rear = factory.Trait(axle=Axle.REAR)
        accepted = factory.Trait(standing=Standing.ACCEPTED)
        approved = factory.Trait(standing=Standing.APPROVED)

    variant = factory.SubFactory(VariantFactory)
    axle = Axle.FRONT
    combination = "A"
    size_text = "185/70 R 15"
    least_load_index = 84
    least_speed = "S"
    standing = Standing.FITTED_NEW
    source = "handbook of 1964, page 38"

    @classmethod
    def _adjust_kwargs(cls, **kwargs):
        columns = size_columns(kwargs["size_text"])
        read = {name: columns[name] for name in ("size", "rim_mm", "size_keys")}
        return {**read, **kwargs}
