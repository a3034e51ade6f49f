"""What cannot be meant is told in a sentence, by every write of a promise, and changes nothing."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta
from functools import cached_property
from typing import Any

import pytest
from django.apps import apps
from django.utils import timezone

from fitments.activities.approvals import withdraw
from fitments.models.approval import Approval
from inventory.activities.ordering import cancel_order
from inventory.activities.picking import make_list
from inventory.models.hold import Hold
from inventory.models.pick import PickList
from tests.factories.approvals import ApprovalFactory
from tests.factories.buying import ExpectedDeliveryFactory
from tests.factories.cars import FitmentFactory, IdentifiedCarFactory, VariantFactory
from tests.factories.catalogue import SkuFactory, TypeApprovalFactory
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.selling import HoldFactory, QuoteFactory
from tests.factories.sending import (
    Shop,
    a_line,
    an_order,
    four_alike,
    held_pieces,
    held_set,
    hold_for,
    packed,
    sent,
)
from tests.inventory.api.test_selling import in_days, need
from tests.support.calling import refused, write

pytestmark = pytest.mark.django_db
TABLES = (
    *("Hold", "HoldLine", "HoldExtension", "Quote", "Order", "OrderLine", "PreOrder", "Return"),
    *("PreOrderLine", "PickList", "PickLine", "Despatch", "CustomerComplaint", "Posting"),
    *("LedgerLine", "Balance"),
)
QUANTITIES = [0, -1, 10**9, 2.5]


@dataclass
class House:
    """Everything that a bad request may name, made when it is first asked for."""

    shop: Shop = field(default_factory=Shop)

    @cached_property
    def sku(self):
        found = SkuFactory(code="TB-CAIRN")
        TypeApprovalFactory(sku=found)
        self.shop.stock(9, sku=found, date_code="1425")
        return found

    @cached_property
    def customer(self):
        return CustomerFactory()

    @cached_property
    def order(self):
        """Open, of three pieces that are held."""
        return held_pieces(self.shop)[1]

    @cached_property
    def line(self):
        return self.order.lines.get()

    @cached_property
    def closed(self):
        """Cancelled yesterday."""
        order = an_order()
        a_line(order, sku=self.sku, quantity=2)
        return cancel_order(order=order, why="sold the car", by=UserFactory(), at=timezone.now())

    @cached_property
    def lapsed(self):
        """Ran out an hour ago; nobody has tidied it up."""
        return HoldFactory(until=timezone.now() - timedelta(hours=1), customer=self.customer)

    @cached_property
    def listed(self) -> PickList:
        """Being picked: a set of four."""
        _, order, lot, _ = held_set(self.shop)
        self.lot = lot
        told = {"by": UserFactory(), "at": timezone.now()}
        return make_list(order=order, to_place=self.shop.gather, **told)

    @cached_property
    def gone(self):
        _, order, _, _ = held_set(self.shop)
        return sent(order, self.shop, UserFactory())

    @cached_property
    def expected(self):
        return ExpectedDeliveryFactory(sku=self.sku, quantity=8)

    @cached_property
    def car(self):
        """Of a variant whose maker approves the tyre on both axles."""
        variant = VariantFactory(with_wheels=True)
        for axle in ("front", "rear"):
            FitmentFactory(variant=variant, axle=axle)
            ApprovalFactory(
                listed=True, vehicle_line=variant.vehicle_line, axle=axle, code=f"AP-{axle}"
            )
        return IdentifiedCarFactory(variant=variant).customer_car

    @cached_property
    def promised(self) -> Hold:
        """A set held for that car; then both approvals are withdrawn."""
        lot = self.sku.lots.get()
        spot = (lot, self.shop.racks[0], 2)
        found = {"customer": self.car.customer, "car": self.car}
        order = an_order(**found)
        line = a_line(order, recipe=four_alike(self.sku))
        hold = hold_for(line, (*spot, "front"), (*spot, "rear"), answer={"use": "road"})
        self.withdraw()
        return hold

    def withdraw(self) -> None:
        for one in Approval.objects.order_by("code"):
            withdraw(approval=one, why="letter of today", by=UserFactory(), at=timezone.now())

    @cached_property
    def elsewhere(self):
        """A place of another site."""
        return PlaceFactory(code="ELSE-1")


@pytest.fixture
def house():
    return House()


def everything() -> dict[str, list[Any]]:
    models = [apps.get_model("inventory", name) for name in TABLES]
    return {model.__name__: list(model.objects.order_by("pk").values()) for model in models}


def pieces(house, n):
    return {"customer": house.customer.pk, "sku": house.sku.pk, "quantity": n, "until": in_days(3)}


def asks(house, **ask):
    return {"customer": house.customer.pk, "asks": [ask]}


def sets(house, n):
    return asks(house, need=need(house.sku), what="four", sets=n)


def quoted(house, n):
    said = {"customer": house.customer.pk, "need": need(house.sku), "what": "four", "sets": n}
    return {**said, "good_until": in_days(14)[:10]}


def queued(house, n):
    said = {"customer": house.customer.pk, "need": need(house.sku), "what": "four"}
    more = {"if_short": "wait", "promised_on": house.expected.expected_on.isoformat()}
    return {**said, **more, "counts_on": [{"expected": house.expected.pk, "quantity": n}]}


def came_back(house, n):
    place = {"place": house.shop.racks[0].pk, "condition": "fitted"}
    line = {"line": house.gone.lines.first().pk, "quantity": n, **place}
    return {"despatch": house.gone.pk, "reason": "not_wanted", "lines": [line]}


def complained(house, n):
    return {"despatch_line": house.gone.lines.first().pk, "quantity": n, "says": "A bulge."}


def picked(house, n):
    return {"line": house.listed.lines.first().pk, "quantity": n}


def found(house, n):
    return {"line": house.listed.lines.first().pk, "found": n, "why": "gone"}


# Who sends it, where to, and what stands in it.
ASKED = {
    "a hold of pieces": ("counter", "holds/", pieces),
    "an order of pieces": (
        "counter", "orders/", lambda house, n: asks(house, sku=house.sku.pk, quantity=n),
    ),
    "an order of sets": ("counter", "orders/", sets),
    "a line more": (
        "counter", "orders/{order.pk}/lines/",
        lambda house, n: {"asks": [{"sku": house.sku.pk, "quantity": n}]},
    ),
    "more of a line": (
        "counter", "order-lines/{line.pk}/change/", lambda house, n: {"quantity": n},
    ),
    "a quote": ("counter", "quotes/", quoted),
    "a place in the queue": ("counter", "pre-orders/", queued),
    "a pick": ("warehouse", "pick-lists/{listed.pk}/pick/", picked),
    "a short pick": ("warehouse", "pick-lists/{listed.pk}/short/", found),
    "parcels": ("warehouse", "pick-lists/{listed.pk}/pack/", lambda house, n: {"parcels": n}),
    "a return": ("warehouse", "returns/", came_back),
    "a complaint": ("counter", "complaints/", complained),
}  # fmt: skip
NOUGHT_IS_AN_ANSWER = "a short pick"
CLOSED = {
    "a line more": (
        "counter", "orders/{closed.pk}/lines/",
        lambda house: {"asks": [{"sku": house.sku.pk, "quantity": 1}]},
    ),
    "its head": ("counter", "orders/{closed.pk}/", lambda house: {"reference": "RT 9"}),
    "its end": ("counter", "orders/{closed.pk}/cancel/", lambda house: {"why": "again"}),
    "its close": ("counter", "orders/{closed.pk}/close/", lambda house: {"why": "again"}),
    "more of a line": (
        "counter", "order-lines/{closed_line.pk}/change/", lambda house: {"quantity": 3},
    ),
    "what is missing": ("counter", "order-lines/{closed_line.pk}/hold/", lambda house: {}),
    "a line less": ("counter", "order-lines/{closed_line.pk}/cancel/", lambda h: {"why": "no"}),
    "a list": (
        "warehouse", "pick-lists/",
        lambda house: {"order": house.closed.pk, "to_place": house.shop.gather.pk},
    ),
}  # fmt: skip


def is_refused(api, house, role, path, body, status, words="", method="post"):
    """The problem in a sentence; every row of every table is as it was."""
    places = {name: getattr(house, name) for name in ("order", "line", "listed", "closed")
              if f"{{{name}" in path}  # fmt: skip
    if "{closed_line" in path:
        places["closed_line"] = house.closed.lines.get()
    client, told = api(role), body() if callable(body) else body
    before = everything()
    problem = refused(write(client, method, path.format(**places), told), status, words)
    assert problem["detail"].endswith(".")
    assert len(problem["detail"].split()) > 4
    assert everything() == before
    return problem


@pytest.mark.parametrize(
    ("what", "quantity"),
    [
        (what, quantity)
        for what in ASKED
        for quantity in QUANTITIES
        if quantity != 0 or what != NOUGHT_IS_AN_ANSWER
    ],
)
def test_a_number_that_nobody_means(api, house, what, quantity):
    role, path, body = ASKED[what]
    is_refused(api, house, role, path, lambda: body(house, quantity), 400)


@pytest.mark.parametrize("what", CLOSED)
def test_an_order_that_has_ended(api, house, what):
    role, path, body = CLOSED[what]
    method = "patch" if what == "its head" else "post"
    is_refused(api, house, role, path, lambda: body(house), 409, "was closed on", method)


@pytest.mark.parametrize(
    ("path", "body"),
    [
        ("holds/{pk}/extend/", {"until": in_days(5), "why": "on holiday"}),
        ("orders/", {"customer": "{customer}", "asks": [{"hold": "{pk}"}]}),
    ],
)
def test_a_hold_that_ran_out(api, house, path, body):
    pk = house.lapsed.pk
    body = (
        {**body, "customer": house.customer.pk, "asks": [{"hold": pk}]} if "asks" in body else body
    )
    is_refused(api, house, "counter", path.format(pk=pk), body, 409, "ran out on")


class TestAnApprovalWithdrawnInBetween:
    """Between the hold or the quote and the order."""

    def body(self, house, **ask):
        said = {"customer": house.car.customer_id, "car": house.car.pk}
        return {**said, "asks": [ask]}

    def test_a_set_of_the_shelf(self, api, house):
        ask = {"need": need(house.sku), "what": "four", "said": {"use": "road"}}
        body = self.body(house, **ask)
        house.withdraw()
        is_refused(api, house, "counter", "orders/", body, 409, "approval was withdrawn")
        until = {"until": in_days(3), "customer": house.car.customer_id, "car": house.car.pk}
        is_refused(api, house, "counter", "holds/", {**ask, **until}, 409, "approval was withdrawn")

    def test_what_was_held(self, api, house):
        ask = {"need": need(house.sku), "what": "four", "said": {"use": "road"}}
        body = {**ask, "until": in_days(3), "customer": house.car.customer_id, "car": house.car.pk}
        hold = write(api("counter"), "post", "holds/", body).json()["id"]
        house.withdraw()
        is_refused(
            api, house, "counter", "orders/", self.body(house, hold=hold), 409, "not any more"
        )

    def test_what_is_packed_already(self, api, house):
        listed = packed(house.promised.order_line.order, house.shop, UserFactory())
        path = f"pick-lists/{listed.pk}/send/"
        is_refused(api, house, "warehouse", path, {}, 409, "not any more")


class TestAPlaceOfAnotherSite:
    """Tyres of one site are gathered there, and taken from there."""

    def test_to_gather_in(self, api, house):
        place = PlaceFactory(code="ELSE-2", kind=house.shop.gather.kind)
        body = {"order": house.order.pk, "to_place": place.pk}
        is_refused(api, house, "warehouse", "pick-lists/", body, 409, "gather it there")

    def test_to_take_another_lot_from(self, api, house):
        line = house.listed.lines.first()
        body = {"line": line.pk, "lot": line.lot_id, "place": house.elsewhere.pk, "why": "nearer"}
        path = f"pick-lists/{house.listed.pk}/other/"
        is_refused(api, house, "warehouse", path, body, 409, "another site")

    def test_of_which_a_set_was_shown(self, api, house):
        lot = house.sku.lots.get()
        shown = [{"lot": lot.pk, "place": house.elsewhere.pk, "quantity": 1}]
        body = {**pieces(house, 1), "shown": shown}
        is_refused(api, house, "counter", "holds/", body, 409, "does not lie where it was shown")


def test_a_quote_that_ran_out(api, house):
    day = timezone.localdate() - timedelta(days=1)
    made_at = timezone.now() - timedelta(days=9)
    quote = QuoteFactory(customer=house.customer, good_until=day, made_at=made_at)
    is_refused(api, house, "counter", "orders/", asks(house, quote=quote.pk), 409)
