"""Customers, their cars, and what is on the wheels of these now."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import TypedDict, Unpack

from django.contrib.auth.models import User

from inventory.activities.cataloguing.wheels import WHEELS, WheelValues, wheel_faults, write_wheels
from inventory.ground.entries.faults import Fault
from inventory.ground.entries.register import Entry, Register, Values
from inventory.models.customer import Axle, Customer, CustomerCar
from inventory.models.pricing import PriceClass

CUSTOMERS = Register(Customer, key=("name",))


class CustomerValues(TypedDict, total=False):
    """What can be said of a customer."""

    name: str
    kind: str
    price_class: PriceClass | None
    email: str
    telephone: str
    address: str
    note: str


class CarValues(TypedDict, total=False):
    """What can be said of a customer's car, and of the wheels of each axle (None: none told)."""

    customer: Customer
    description: str
    plate: str
    chassis: str
    built_on: date | None
    front: WheelValues | None
    rear: WheelValues | None


def _faults(car: CustomerCar, given: Values) -> list[Fault]:
    told = [(axle, given.get(axle)) for axle in Axle.values]
    return [fault for axle, values in told if values for fault in wheel_faults(axle, values)]


class CarRegister(Register[CustomerCar]):
    """Customers' cars, each known by its customer and its description."""

    parts = frozenset(Axle.values)
    compared = WHEELS

    def write_parts(self, entries: Sequence[Entry[CustomerCar]], *, by: User, at: datetime) -> None:
        write_wheels(entries)


CARS = CarRegister(CustomerCar, key=("description", "customer"), derive=_faults)


def make_customer(*, by: User, at: datetime, **values: Unpack[CustomerValues]) -> Customer:
    """Enter a customer; several may bear one name. Raises Faulty."""
    return CUSTOMERS.make(values, by=by, at=at)


def change_customer(
    *, customer: Customer, by: User, at: datetime, **values: Unpack[CustomerValues]
) -> Customer:
    """Change what is given of a customer. Raises Faulty."""
    return CUSTOMERS.change(customer, values, by=by, at=at)


def make_car(*, by: User, at: datetime, **values: Unpack[CarValues]) -> CustomerCar:
    """Enter a customer's car with what is on its wheels. Raises Faulty."""
    return CARS.make(values, by=by, at=at)


def change_car(
    *, car: CustomerCar, by: User, at: datetime, **values: Unpack[CarValues]
) -> CustomerCar:
    """Change what is given of a customer's car. Raises Faulty."""
    return CARS.change(car, values, by=by, at=at)
