"""Whose tyres, off which of their cars, as somebody types it."""

from __future__ import annotations

from django.db.models import Q

from inventory.ground.refusal import Refusal
from inventory.models.customer import Customer, CustomerCar

_NAMED = 5


class SayWhichCar(Refusal):
    """None of the customer's cars is meant by that, or several are."""

    status = 400

    def __init__(self, customer: Customer, text: str, among: list[CustomerCar]) -> None:
        cars = among or list(customer.cars.order_by("description", "pk")[:_NAMED])
        told = "; ".join(f"{car}, {car.plate}" if car.plate else str(car) for car in cars)
        which = f"Say which: {told}." if cars else "No car is told of them: leave it empty."
        super().__init__(
            f"“{text}” names {'several' if among else 'none'} of {customer}'s cars. {which} "
            "Nothing was taken in.",
            field="car",
        )


def car_named(customer: Customer, text: str) -> CustomerCar | None:
    """The one of the customer's cars that is named so, None for no text. Raises SayWhichCar."""
    text = text.strip()
    if not text:
        return None
    cars = customer.cars.order_by("description", "pk")
    said = Q(description__icontains=text) | Q(plate__icontains=text) | Q(chassis__iexact=text)
    found = list(cars.filter(said)[: _NAMED + 1])
    if len(found) > 1:
        exact = [car for car in found if text.casefold() == car.plate.casefold()]
        found = exact or found
    if len(found) != 1:
        raise SayWhichCar(customer, text, found[:_NAMED])
    return found[0]


def named(who: str) -> dict[str, str]:
    """What a form begins with for the customer of this number; nothing for any other text."""
    known = who.isascii() and who.isdecimal() and len(who) < 10
    found = Customer.objects.filter(pk=int(who)).first() if known else None
    return {"who": who, "name": found.name} if found else {}
