"""A set from the counter's answer is added to an order that is open already."""

from __future__ import annotations

import re

import pytest

from inventory.activities.ordering import cancel_order
from inventory.models.sale import OrderState
from tests.factories.cars import IdentifiedCarFactory
from tests.factories.people import CustomerCarFactory, CustomerFactory, UserFactory
from tests.factories.selling import OrderFactory, OrderLineFactory
from tests.factories.when import AT
from tests.stockist.selling.conftest import body, hidden

pytestmark = pytest.mark.django_db


@pytest.fixture
def order(car):
    """For a customer's car that is known; a piece of something is ordered already."""
    mine = CustomerCarFactory(customer__name="Winifred Astbourne")
    IdentifiedCarFactory(customer_car=mine, variant=car)
    found = OrderFactory(customer=mine.customer, car=mine)
    OrderLineFactory(order=found, position=1)
    return found


def link(page: str, words: str) -> str:
    return re.search(rf'href="([^"]*)"[^>]*>{words}<', page)[1]


def from_the_answer(counter, order) -> tuple[str, dict[str, str]]:
    """Where the set is added, and what its form carries, by the links of the pages."""
    page = body(counter.get(link(body(counter.get(f"/orders/{order.pk}/")), "Add a set")))
    assert f'A set for <a href="/orders/{order.pk}/">{order.number}</a>' in page
    path = link(page, f"Add it to {order.number}")
    page = body(counter.get(path))
    return path, {name: hidden(page, name) for name in ("asked", "offer", "shown")}


def add(client, path, told, key="k", **more):
    return client.post(path.split("?")[0], {"idempotency_key": key, **told, **more})


def test_from_the_order_over_the_answer_to_a_line(counter, order, shelf):
    path, told = from_the_answer(counter, order)
    assert "for_order" not in told["asked"]
    answer = add(counter, path, told, sets=2)
    assert answer["Location"] == f"/orders/{order.pk}/"
    page = body(counter.get(answer["Location"]))
    assert f"Added to {order.number}." in page
    assert "2 sets of 4 × " in page
    line = order.lines.get(position=2)
    assert (line.asks, line.quantity, line.answer["use"]) == ("sets", 2, "road")
    assert {hold.car for hold in line.holds.all()} == {order.car}
    shelf.refresh_from_db()
    assert shelf.held == 8
    # Sent twice, done once.
    assert add(counter, path, told, sets=2)["Location"] == answer["Location"]
    assert order.lines.count() == 2


def test_the_order_is_carried_through_a_search(counter, order, car, shelf):
    page = body(counter.get("/counter/", {"for_order": order.pk}))
    assert hidden(page, "for_order") == str(order.pk)
    found = {"q": "hallmere sprint 1600 1964-06", "for_order": order.pk}
    page = body(counter.get("/counter/", found, follow=True))
    assert f"Add it to {order.number}" in page
    page = body(counter.get("/counter/", {"q": "TB-CAIRN", "for_order": order.pk}, follow=True))
    assert hidden(page, "asked") == "/counter/tyres/TB-CAIRN/"
    path = link(page, f"Add it to {order.number}")
    told = {name: hidden(body(counter.get(path)), name) for name in ("asked", "shown")}
    assert add(counter, path, told).status_code == 302
    page = body(counter.get("/counter/wheels/", {"for_order": order.pk}))
    assert "This field is required" not in page


def test_an_order_without_a_car_is_told_what_that_means(counter, car, shelf):
    order = OrderFactory(customer=CustomerFactory(name="Orrin Tasker"))
    page = body(counter.get(f"/counter/cars/HAL-1600/?built=1964-06&for_order={order.pk}"))
    page = body(counter.get(link(page, f"Add it to {order.number}")))
    assert f"{order.number}, Orrin Tasker" in page
    assert "When it leaves it is judged by its age alone, as the order names no car." in page


@pytest.mark.parametrize(
    ("more", "status", "words"),
    [
        ({"sets": "0"}, 400, "0 is no number of sets"),
        ({"sets": "-1"}, 400, "-1 is no number of sets"),
        ({"sets": "2.5"}, 400, "Enter a whole number."),
        ({"sets": "1000000000"}, 400, "1000000000 is no number of sets"),
        ({"sets": "3"}, 409, "2 of 3 complete sets can be had"),
        ({"asked": ""}, 400, "ask the counter afresh"),
        ({"offer": "0|front:1"}, 400, "ask the counter afresh"),
        ({"shown": "front,x,1,2"}, 400, "cannot be read out of what was sent"),
        ({"holding": "luck"}, 400, "Select a valid choice"),
    ],
)
def test_what_cannot_be_added(more, status, words, counter, order, shelf):
    path, told = from_the_answer(counter, order)
    assert words in body(add(counter, path, {**told, **more}), status)
    shelf.refresh_from_db()
    assert (order.lines.count(), shelf.held) == (1, 0)


def test_an_order_that_ended_meanwhile(counter, order, shelf):
    path, told = from_the_answer(counter, order)
    cancel_order(order=order, why="sold the car", by=UserFactory(), at=AT)
    order.refresh_from_db()
    assert order.state == OrderState.CANCELLED
    assert order.number in body(add(counter, path, told), 409)
    assert order.lines.count() == 1
    page = body(counter.get(f"/counter/cars/HAL-1600/?built=1964-06&for_order={order.pk}"))
    assert "Add it to" not in page
    assert "Add a set" not in body(counter.get(f"/orders/{order.pk}/"))


def test_an_order_that_is_not_there(counter, order, shelf):
    path, told = from_the_answer(counter, order)
    assert add(counter, path.replace(f"/{order.pk}/", "/999/"), told).status_code == 404
    for number in ("x", "", "9" * 30, "²"):
        page = body(counter.get("/counter/", {"for_order": number}))
        assert "for_order" not in page


def test_who_may_not_change_orders_carries_none(signed_in, order, shelf):
    page = body(signed_in("buyer").get("/counter/", {"for_order": order.pk}))
    assert order.number not in page
