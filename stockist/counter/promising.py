"""From an answer to a promise: what the person at the counter may do with an offer, for whom."""

from __future__ import annotations

from datetime import timedelta
from urllib.parse import urlencode

from django.http import HttpRequest
from django.utils import timezone

from inventory.models.customer import CustomerCar
from inventory.models.sale import Order, OrderState
from stockist.counter.sites import FROM_SITE, site_named

HELD_DAYS = 3
FOR_ORDER = "for_order"
"""Carried in the address from question to question: to which order a set is to be added."""


def promising(request: HttpRequest) -> dict[str, object]:
    """For the pages of the counter: whose car was asked for, and what may be promised."""
    may = request.user.has_perm
    order, site = _for_order(request), site_named(request.GET.get(FROM_SITE, "")[:12])
    carried = {FOR_ORDER: order and order.pk, FROM_SITE: site and site.code}
    return {
        "for_car": _for_car(request),
        "for_order": order,
        "from_site": site,
        "carried": urlencode({name: one for name, one in carried.items() if one}),
        "may_hold": may("inventory.add_hold"),
        "may_quote": may("inventory.add_quote"),
        "may_order": may("inventory.add_order"),
        "may_queue": may("inventory.add_preorder"),
        "hold_until": timezone.localdate() + timedelta(days=HELD_DAYS),
    }


def _for_car(request: HttpRequest) -> CustomerCar | None:
    number = _number(request, "for_car")
    if not number or not request.user.has_perm("inventory.view_customercar"):
        return None
    return CustomerCar.objects.select_related("customer").filter(pk=number).first()


def _for_order(request: HttpRequest) -> Order | None:
    """The open order to which a set is to be added."""
    number = _number(request, FOR_ORDER)
    if not number or not request.user.has_perm("inventory.change_order"):
        return None
    rows = Order.objects.filter(state=OrderState.OPEN).select_related("customer")
    return rows.filter(pk=number).first()


def _number(request: HttpRequest, name: str) -> int:
    text = request.GET.get(name, "")
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 10 else 0
