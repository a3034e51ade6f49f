"""What a customer is promised and has had, counted, each with the list that tells more."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from urllib.parse import urlencode

from django.urls import reverse

from inventory.models.complaint import CustomerComplaint
from inventory.models.customer import Customer
from inventory.models.hold import Hold
from inventory.models.preorder import PreOrder
from inventory.models.quote import Quote, QuoteState
from inventory.models.sale import Order
from inventory.models.storage import Storage


@dataclass(frozen=True, slots=True)
class Door:
    """So many of something, and where they are."""

    count: int
    words: str
    address: str


def promises_to(customer: Customer, *, at: datetime) -> list[Door]:
    """Every kind of promise that there is one of. One query a kind."""
    doors = [
        _door(Hold.objects.standing(at).filter(order_line=None), customer, "held for them",
              "selling:holds"),
        _door(Order.objects.open(), customer, "orders open", "selling:orders", state="open"),
        _door(Quote.objects.filter(state=QuoteState.OPEN), customer, "quotes open",
              "selling:quotes", state="open"),
        _door(PreOrder.objects.waiting(), customer, "waited for", "selling:queue"),
        _door(Storage.objects.kept(), customer, "storages of their own tyres", "storage:list"),
        _door(CustomerComplaint.objects.unanswered(), customer, "complaints not answered",
              "sending:complaints"),
    ]  # fmt: skip
    return [door for door in doors if door.count]


def _door(rows: Any, customer: Customer, words: str, route: str, **more: object) -> Door:
    asked = urlencode({"customer": customer.pk, **more})
    return Door(rows.filter(customer=customer).count(), words, f"{reverse(route)}?{asked}")
