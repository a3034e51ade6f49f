"""Customers and their cars, with what is on the wheels."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from inventory.activities.cataloguing import change_car, change_customer, make_car, make_customer
from inventory.ground.entries.faults import Faulty
from inventory.models.companion import RimKind
from inventory.models.customer import CarWheel, Customer, CustomerCar
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.when import AT

pytestmark = pytest.mark.django_db

SPOKED = {"rim_text": "15", "width_in": Decimal(5), "rim_kind": RimKind.SPOKED, "tubed": True}


@pytest.fixture
def who():
    return {"by": UserFactory(), "at": AT}


@pytest.fixture
def car(who):
    def make(**values):
        told = {"customer": CustomerFactory(), "description": "Sprint saloon"}
        return make_car(**(told | values), **who)

    return make


def faults(call, **values):
    with pytest.raises(Faulty) as refusal:
        call(**values)
    return {fault.field: fault.words for fault in refusal.value.faults}


def test_customers(who):
    one = make_customer(name="Orrin Tasker", kind="racing", **who)
    make_customer(name="Orrin Tasker", **who)  # two people may bear one name
    change_customer(customer=one, telephone="01632 960123", **who)
    assert Customer.objects.filter(name="Orrin Tasker").count() == 2
    assert Customer.objects.get(kind="racing").telephone == "01632 960123"
    with pytest.raises(Faulty, match="valid email"):
        change_customer(customer=one, email="x", **who)


def test_a_car_with_its_wheels(car):
    tyre = SkuFactory()
    row = car(
        plate="XHM 12", built_on=date(1964, 6, 12),
        front=SPOKED | {"tyre": tyre, "date_code": "1423"}, rear=SPOKED,
    )  # fmt: skip
    front = row.wheels.get(axle="front")
    assert (front.rim_text, front.rim_mm, front.bead) == ("15", 381, "5-degree")
    assert (front.tyre, front.date_code, front.tubed) == (tyre, "1423", True)
    assert row.wheels.get(axle="rear").tyre is None
    assert row.built_on == date(1964, 6, 12)


def test_a_rim_in_millimetres(car):
    wheel = car(front={"rim_text": "400"}).wheels.get()
    assert (wheel.rim_mm, wheel.bead, wheel.width_in) == (400, "old millimetre", None)


def test_wheels_are_told_anew_or_left_alone(car, who):
    row = car(front=SPOKED, rear=SPOKED)
    change_car(car=row, plate="NEW 1", **who)
    assert row.wheels.count() == 2
    change_car(car=row, front=SPOKED | {"width_in": Decimal("5.5")}, **who)
    assert row.wheels.get(axle="front").width_in == Decimal("5.5")
    change_car(car=row, rear=None, **who)
    assert [wheel.axle for wheel in row.wheels.all()] == ["front"]


def test_wheels_told_just_so_again_are_not_written_anew(car, who):
    row = car(front=SPOKED)
    before = row.wheels.get().pk
    change_car(car=row, front=SPOKED, **who)
    assert row.wheels.get().pk == before


@pytest.mark.parametrize(
    ("wheel", "field", "words"),
    [
        ({"rim_text": "51"}, "front.rim_text", "a rim diameter"),
        ({"rim_text": ""}, "front.rim_text", "Nothing to read"),
        ({"rim_text": "15", "width_in": Decimal(-1)}, "front.width_in", "some width"),
        ({"rim_text": "15", "width_in": Decimal("5.123")}, "front.width_in", "2 decimal places"),
        ({"rim_text": "15", "rim_kind": "gold"}, "front.rim_kind", "not a valid choice"),
        ({"rim_text": "15", "date_code": "x" * 21}, "front.date_code", "at most 20"),
    ],
)
def test_wheels_that_cannot_be_are_told_by_axle_and_field(car, wheel, field, words):
    told = faults(car, front=wheel)
    assert words in told[field]
    assert not CustomerCar.objects.exists()
    assert not CarWheel.objects.exists()


def test_what_is_on_a_wheel_is_a_tyre(car):
    tube = SkuFactory(kind="tube", size_text="")
    assert "is no tyre" in faults(car, rear=SPOKED | {"tyre": tube})["rear.tyre"]


def test_both_axles_are_told(car):
    told = faults(car, front={"rim_text": "51"}, rear={"rim_text": "52"})
    assert set(told) == {"front.rim_text", "rear.rim_text"}


def test_a_car_needs_its_customer_and_its_name(who):
    told = faults(lambda: make_car(plate="X", **who))
    assert told == {"customer": "Customer is missing.", "description": "Car is missing."}
