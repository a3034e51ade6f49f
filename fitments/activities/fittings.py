"""Which size goes on which axle of a variant, on whose word; and which variant a car is."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from typing import TypedDict, Unpack

from django.contrib.auth.models import User

from fitments.activities.sizes import service_faults, with_size
from fitments.models.car import IdentifiedCar, Variant
from fitments.models.fitment import Fitment
from inventory.ground.entries.faults import Fault
from inventory.ground.entries.register import Register, Values
from inventory.models.customer import CustomerCar


class FitmentValues(TypedDict, total=False):
    """What can be said of a fitment; the days are of the building of the car, both inclusive."""

    variant: Variant
    axle: str
    combination: str
    size_text: str
    least_load_index: int | None
    least_speed: str
    standing: str
    built_from: date | None
    built_to: date | None
    wheel: str
    source: str


def _service_faults(fitment: Fitment, given: Values) -> Iterable[Fault]:
    fitment.least_speed = fitment.least_speed.upper()
    if not fitment.size_text:
        yield Fault("size_text", "Say which size is fitted.")
    yield from service_faults(load_index=fitment.least_load_index, speed=fitment.least_speed)


class FitmentRegister(Register[Fitment]):
    """Fitments by what they are said of; the size as read is part of it."""

    def completed(self, given: Values) -> tuple[Values, list[Fault]]:
        """The size is read before the row is looked for."""
        return with_size(given, rim=True)


FITMENTS = FitmentRegister(
    Fitment,
    key=("variant", "axle", "combination", "size", "built_from", "wheel"),
    derive=_service_faults,
)
IDENTIFIED = Register(IdentifiedCar, key=("customer_car",))


def make_fitment(*, by: User, at: datetime, **values: Unpack[FitmentValues]) -> Fitment:
    """Say which size goes on an axle of a variant. Raises Faulty."""
    return FITMENTS.make(values, by=by, at=at)


def change_fitment(
    *, fitment: Fitment, by: User, at: datetime, **values: Unpack[FitmentValues]
) -> Fitment:
    """Change what is given of a fitment. Raises Faulty."""
    return FITMENTS.change(fitment, values, by=by, at=at)


def identify(
    *, customer_car: CustomerCar, variant: Variant, by: User, at: datetime
) -> IdentifiedCar:
    """Say which variant a customer's car is; what was said before is replaced. Raises Faulty."""
    row = {"customer_car": customer_car, "variant": variant}
    return IDENTIFIED.enter([row], by=by, at=at)[0].row
