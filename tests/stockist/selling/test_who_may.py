"""Who may open which page of selling, and send which form: a matrix written out by hand."""

from __future__ import annotations

import re

import pytest

from stockist.roles import ROLES
from tests.factories.people import CustomerCarFactory, UserFactory
from tests.factories.sending import held_set, packed, sent

pytestmark = pytest.mark.django_db
ALL = {"counter", "warehouse", "buyer", "owner"}
SELLERS = {"counter", "owner"}
LOOK = {
    "/customers/": {"counter", "buyer", "owner"},
    "/customers/new/": SELLERS,
    "/customers/{customer}/": {"counter", "buyer", "owner"},
    "/customers/{customer}/change/": SELLERS,
    "/customers/{customer}/cars/new/": SELLERS,
    "/customers/cars/{car}/": SELLERS,
    "/holds/": ALL,
    "/holds/{hold}/": ALL,
    "/holds/new/": SELLERS,
    "/quotes/": {"counter", "buyer", "owner"},
    "/quotes/new/": SELLERS,
    "/orders/": ALL,
    "/orders/{order}/": ALL,
    "/orders/new/": SELLERS,
    "/queue/": {"counter", "buyer", "owner"},
    "/queue/new/": {"counter", "buyer", "owner"},
    "/picks/": ALL,
    "/picks/{picks}/": ALL,
    "/picks/{picks}/leave/": ALL,
    "/picks/{picks}/lines/{line}/": ALL,
    "/despatches/": ALL,
    "/despatches/{despatch}/": ALL,
    "/despatches/{despatch}/return/": {"warehouse", "owner"},
    "/despatches/lines/{gone}/complaint/": {"counter", "warehouse", "owner"},
    "/returns/": ALL,
    "/complaints/": ALL,
    "/papers/delivery-notes/{despatch}/": ALL,
    "/papers/scrutineer-cards/{hold}/": ALL,
}
DO = {
    "/customers/new/": SELLERS,
    "/holds/new/": SELLERS,
    "/holds/{hold}/extend/": SELLERS,
    "/holds/{hold}/release/": SELLERS,
    "/quotes/new/": SELLERS,
    "/orders/new/": SELLERS,
    "/orders/{order}/change/": SELLERS,
    "/orders/{order}/set/": SELLERS,
    "/orders/{order}/pieces/": SELLERS,
    "/orders/{order}/cancel/": SELLERS,
    "/orders/{order}/close/": SELLERS,
    "/queue/new/": {"counter", "buyer", "owner"},
    "/picks/make/": {"warehouse", "owner"},
    "/picks/{picks}/scan/": {"warehouse", "owner"},
    "/picks/{picks}/pack/": {"warehouse", "owner"},
    "/picks/{picks}/leave-out/": {"warehouse", "owner"},
    "/picks/{picks}/cancel/": {"warehouse", "owner"},
    "/picks/{picks}/lines/{line}/pick/": {"warehouse", "owner"},
    "/picks/{picks}/lines/{line}/other/": {"warehouse", "owner"},
    "/picks/{picks}/lines/{line}/short/": {"warehouse", "owner"},
    "/picks/{picks}/word/": {"owner"},
    "/picks/{picks}/send/": {"warehouse", "owner"},
    "/despatches/{despatch}/return/": {"warehouse", "owner"},
    "/despatches/lines/{gone}/complaint/": {"counter", "warehouse", "owner"},
}


@pytest.fixture
def numbers():
    """One of each, with the numbers that stand in addresses."""
    by = UserFactory()
    shop, order, _, hold = held_set()
    listed = packed(order, shop, by)
    _, other, _, _ = held_set(shop)
    gone = sent(other, shop, by)
    car = CustomerCarFactory()
    return {
        "customer": car.customer_id, "car": car.pk, "hold": hold.pk, "order": order.pk,
        "picks": listed.pk, "line": listed.lines.order_by("pk").first().pk, "despatch": gone.pk,
        "gone": gone.lines.order_by("pk").first().pk,
    }  # fmt: skip


@pytest.mark.parametrize("role", ROLES)
def test_who_may_look(role, signed_in, numbers):
    client = signed_in(role)
    wrong = {}
    for path, roles in LOOK.items():
        status = client.get(path.format(**numbers)).status_code
        if status != (200 if role in roles else 403):
            wrong[path] = status
    assert wrong == {}


@pytest.mark.parametrize("role", ROLES)
def test_who_may_do(role, signed_in, numbers):
    """What is sent is of no use, so that whoever may is refused for that and not for their role."""
    client = signed_in(role)
    wrong = {}
    for path, roles in DO.items():
        status = client.post(path.format(**numbers), {"idempotency_key": path}).status_code
        if (status == 403) == (role in roles) or status >= 500:
            wrong[path] = status
    assert wrong == {}


def test_nobody_looks_who_is_not_signed_in(client, numbers):
    for path in {*LOOK, *DO}:
        answer = client.get(path.format(**numbers))
        assert answer.status_code in (302, 405)
        assert answer.status_code == 405 or answer["Location"].startswith("/sign-in/")


def test_a_write_without_its_key_is_refused(signed_in, numbers):
    client = signed_in("owner")
    for path in DO:
        answer = client.post(path.format(**numbers), {})
        assert answer.status_code == 400, path
        assert "Every write needs a key of its own" in answer.content.decode()


def test_a_form_sent_again_with_other_contents_is_told_that_the_first_stands(signed_in):
    client, told = signed_in("owner"), {"idempotency_key": "k", "kind": "private"}
    assert client.post("/customers/new/", {**told, "name": "Orrin Tasker"}).status_code == 302
    answer = client.post("/customers/new/", {**told, "name": "Orrin T. Tasker"})
    assert answer.status_code == 422
    assert "This was already sent once with other contents" in answer.content.decode()


@pytest.mark.parametrize(
    ("role", "room"),
    [("counter", "/counter/"), ("warehouse", "/orders/"), ("buyer", "/counter/")],
)
def test_whoever_signs_in_comes_into_a_room_that_is_open_to_them(role, room, signed_in):
    client = signed_in(role)
    assert client.get("/")["Location"] == room
    page = client.get(room)
    assert page.status_code == 200
    for address in re.findall(r'<li><a href="(/[a-z-]+/)"', page.content.decode()):
        assert client.get(address).status_code == 200, address
