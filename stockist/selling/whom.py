"""For whom: a customer found by name, or made in the same step."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.contrib.auth.models import User

from inventory.activities import cataloguing
from inventory.ground.refusal import Refusal
from inventory.models.customer import Customer, CustomerCar

NEW = "new"
MOST = 8


class SayWho(Refusal):
    """Nobody was named, or several may be meant."""

    status = 400

    def __init__(self, sentence: str, among: tuple[Customer, ...] = ()) -> None:
        self.among = among
        super().__init__(f"{sentence} Nothing was changed.", field="name")


def customer_meant(said: Mapping[str, Any], *, by: User, at: datetime) -> Customer:
    """The customer that a form names, made where nobody is called so. Raises SayWho, Faulty.

    ``who`` is the number of one that was chosen, or "new"; without it the name decides: one who is
    called exactly so is meant, and where the name is a part of several names they are asked about.
    """
    who, name = said.get("who") or "", " ".join((said.get("name") or "").split())
    if who and who != NEW:
        chosen = _chosen(who)
        # Whoever types another name over the one that was chosen means the other one.
        if name.casefold() in chosen.name.casefold():
            return chosen
    if not name:
        raise SayWho("Say for whom it is.")
    if who != NEW:
        exact = list(Customer.objects.filter(name__iexact=name).order_by("pk")[: MOST + 1])
        if len(exact) == 1:
            return exact[0]
        near = exact or list(
            Customer.objects.filter(name__icontains=name).order_by("name", "pk")[: MOST + 1]
        )
        if near:
            words = f"Which “{name}” is meant: one of these, or somebody new?"
            raise SayWho(words, tuple(near[:MOST]))
    if not by.has_perm("inventory.add_customer"):
        raise SayWho(f"Nobody is called “{name}”, and your role does not enter customers.")
    known = {key: said.get(key) or "" for key in ("telephone", "email")}
    return cataloguing.make_customer(name=name, by=by, at=at, **known)  # type: ignore[arg-type]


def _chosen(who: str) -> Customer:
    number = int(who) if who.isascii() and who.isdecimal() and len(who) < 18 else 0
    found = Customer.objects.filter(pk=number).first()
    if found is None:
        raise SayWho("The customer that was chosen is not there.")
    return found


def car_meant(number: int | None) -> CustomerCar | None:
    """The customer's car that an answer was asked for, with its owner."""
    if not number or number >= 2**31:
        return None
    return CustomerCar.objects.select_related("customer").filter(pk=number).first()
