"""From an answer to a promise: what the person at the counter may do with an offer, for whom."""

from __future__ import annotations

from datetime import timedelta

from django.http import HttpRequest
from django.utils import timezone

from inventory.models.customer import CustomerCar

HELD_DAYS = 3


def promising(request: HttpRequest) -> dict[str, object]:
    """For the pages of the counter: whose car was asked for, and what may be promised."""
    may = request.user.has_perm
    return {
        "for_car": _for_car(request),
        "may_hold": may("inventory.add_hold"),
        "may_quote": may("inventory.add_quote"),
        "may_order": may("inventory.add_order"),
        "may_queue": may("inventory.add_preorder"),
        "hold_until": timezone.localdate() + timedelta(days=HELD_DAYS),
    }


def _for_car(request: HttpRequest) -> CustomerCar | None:
    number = request.GET.get("for_car", "")
    if not (number.isascii() and number.isdecimal() and len(number) < 10):
        return None
    if not request.user.has_perm("inventory.view_customercar"):
        return None
    return CustomerCar.objects.select_related("customer").filter(pk=int(number)).first()
