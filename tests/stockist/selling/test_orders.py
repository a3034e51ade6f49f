"""Orders from an answer, a hold, a quote, or as pieces; changed, held, queued for, ended."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from inventory.models.hold import Hold
from inventory.models.preorder import PreOrder
from inventory.models.quote import Quote
from inventory.models.sale import Order
from tests.factories.buying import ExpectedDeliveryFactory
from tests.factories.people import CustomerFactory
from tests.factories.sending import held_pieces, held_set
from tests.stockist.selling.conftest import ANSWER, body, day, hidden

pytestmark = pytest.mark.django_db
NEW = "/orders/new/"


def take(client, key="k", **said):
    return client.post(NEW, {"idempotency_key": key, "name": "Orrin Tasker", **said})


def do(client, path, key="d", **said):
    return client.post(path, {"idempotency_key": key, **said})


def test_a_set_with_pieces_beside_and_a_deposit(counter, said, sku):
    answer = take(
        counter, **said, sku="tb-cairn", quantity=1, wanted_on=day(7), reference="RT 7",
        deliver_to="12 Wendle Road", deposit="100", deposit_currency="GBP", deposit_reference="C9",
    )  # fmt: skip
    order = Order.objects.get()
    page = body(counter.get(answer["Location"]))
    assert f"{order.number} is taken for Orrin Tasker." in page
    assert "1 set of 4 × " in page
    assert "1 held" in page
    assert "£100.00, C9" in page
    assert "12 Wendle Road" in page
    assert "lot " in page
    assert order.lines.count() == 2
    assert take(
        counter, **said, sku="tb-cairn", quantity=1, wanted_on=day(7), reference="RT 7",
        deliver_to="12 Wendle Road", deposit="100", deposit_currency="GBP", deposit_reference="C9",
    )["Location"] == answer["Location"]  # fmt: skip
    assert Order.objects.count() == 1


@pytest.mark.parametrize(
    ("more", "status", "words"),
    [
        ({}, 400, "Say what is ordered"),
        ({"sku": "NO", "quantity": 1}, 400, "the code of a SKU is wanted"),
        ({"sku": "TB-CAIRN", "quantity": 0}, 400, "0 tyres cannot be booked"),
        ({"sku": "TB-CAIRN", "quantity": -1}, 400, "-1 tyres cannot be booked"),
        ({"sku": "TB-CAIRN", "quantity": 10**9}, 400, "more than this shop can book"),
        ({"sku": "TB-CAIRN", "quantity": "2.5"}, 400, "Enter a whole number."),
        ({"sku": "TB-CAIRN", "quantity": 10}, 409, "9 of TB-CAIRN can be promised, not 10"),
        ({"sku": "TB-CAIRN", "quantity": 1, "deposit": "0"}, 400, "greater than or equal to 0.01"),
        ({"sku": "TB-CAIRN", "quantity": 1, "deposit": "-1"}, 400, "greater than or equal"),
        ({"sku": "TB-CAIRN", "quantity": 1, "deposit": "9", "deposit_currency": "GBP"}, 422,
         "A deposit has an amount above nought, its currency and a reference."),
        ({"hold": 999}, 404, "What is to be ordered is not there"),
        ({"quote": 2**40}, 404, "What is to be ordered is not there"),
    ],
)  # fmt: skip
def test_what_cannot_be_ordered(more, status, words, counter, shelf):
    page = body(take(counter, **more), status)
    assert words in page
    assert not Order.objects.exists()
    shelf.refresh_from_db()
    assert shelf.held == 0


def test_as_much_as_there_is_and_the_rest_held_later(counter, sku, shelf):
    at = take(counter, sku="TB-CAIRN", quantity=12, holding="some")["Location"]
    page = body(counter.get(at))
    assert "9 held" in page
    assert "3 not held yet" in page
    rest = Order.objects.get().lines.order_by("position").last()
    page = body(do(counter, f"/orders/lines/{rest.pk}/hold/"), 409)
    assert "0 of TB-CAIRN can be promised" in page
    body(do(counter, f"/orders/lines/{rest.pk}/change/", "c", quantity=0), 400)
    body(do(counter, f"/orders/lines/{rest.pk}/change/", "c0", quantity=10**9), 400)
    assert do(counter, f"/orders/lines/{rest.pk}/change/", "c1", quantity=11).status_code == 302
    assert "2 not held yet" in body(counter.get(at))
    body(do(counter, f"/orders/lines/{rest.pk}/cancel/", "x", why=""), 400)
    do(counter, f"/orders/lines/{rest.pk}/cancel/", "x1", why="enough")
    assert "cancelled" in body(counter.get(at))


def test_a_hold_is_turned_into_an_order(counter, said):
    counter.post("/holds/new/", {"idempotency_key": "h", "until": day(3), "name": "Orrin", **said})
    hold = Hold.objects.get()
    page = body(counter.get(f"{NEW}?hold={hold.pk}"))
    told = {name: hidden(page, name) for name in ("who", "hold")}
    page = body(counter.get(take(counter, **told, **{"name": "Orrin"})["Location"]))
    hold.refresh_from_db()
    assert hold.order_line is not None
    assert "1 held" in page
    page = body(take(counter, "k2", **told), 409)
    assert hold.number in page


def test_a_quote_keeps_its_price_and_reasons_and_is_taken_up(counter, said):
    answer = counter.post(
        "/quotes/new/",
        {"idempotency_key": "q", "good_until": day(14), "name": "Orrin Tasker", **said},
    )
    quote = Quote.objects.get()
    page = body(counter.get(answer["Location"]))
    assert "What was answered, and why" in page
    assert "nothing is held by it" in page
    assert "Before it is fitted" in page
    assert quote.number in body(counter.get("/quotes/", {"q": quote.number, "state": "open"}))
    page = body(counter.get(take(counter, quote=quote.pk)["Location"]))
    assert f"As quoted in {quote.number}" in page
    quote.refresh_from_db()
    assert quote.state == "taken"
    told = {"idempotency_key": "w", "why": "too late"}
    body(counter.post(f"{answer['Location']}withdraw/", told), 409)


@pytest.mark.parametrize(
    ("more", "status", "words"),
    [
        ({"good_until": "2020-01-01"}, 400, "Nothing was changed."),
        ({"good_until": ""}, 400, "This field is required."),
        ({"sets": 0}, 400, "0 is no number of sets"),
        ({"asked": ""}, 400, "ask the counter afresh"),
    ],
)
def test_what_cannot_be_quoted(more, status, words, counter, said):
    told = {"idempotency_key": "q", "good_until": day(14), "name": "Orrin", **said, **more}
    assert words in body(counter.post("/quotes/new/", told), status)
    assert not Quote.objects.exists()


def test_a_quote_is_withdrawn(counter, said):
    told = {"idempotency_key": "q", "good_until": day(1), "name": "Orrin", **said}
    at = counter.post("/quotes/new/", told)["Location"]
    body(do(counter, f"{at}withdraw/", why=""), 400)
    page = body(counter.get(do(counter, f"{at}withdraw/", "2", why="dearer now")["Location"]))
    assert "– withdrawn" in page


def test_the_queue_for_what_is_to_come(counter, car, sku):
    expected = ExpectedDeliveryFactory(
        sku=sku, quantity=8, expected_on=timezone.localdate() + timedelta(days=60)
    )
    page = body(counter.get(ANSWER))
    assert "Queue for it" in page
    new = "/queue/new/?" + page.split("/queue/new/?")[1].split('"')[0]
    page = body(counter.get(new))
    assert f'value="{expected.expected_on.isoformat()}"' in page
    told = {
        **{name: hidden(page, name) for name in ("asked", "offer")},
        "promised_on": expected.expected_on.isoformat(), "if_short": "wait", "name": "Orrin",
    }  # fmt: skip
    at = do(counter, "/queue/new/", **told)["Location"]
    do(counter, "/queue/new/", "2", **{**told, "name": "Greta"})
    page = body(counter.get(at))
    assert "4 of 8" in page
    assert "nobody stands before them" in page
    second = PreOrder.objects.get(customer__name="Greta")
    assert "1 stands before them" in body(counter.get(f"/queue/{second.pk}/"))
    listed = body(counter.get("/queue/"))
    assert listed.index("Orrin") < listed.index("Greta")
    body(do(counter, "/queue/new/", "3", **told), 409)
    assert PreOrder.objects.count() == 2
    body(do(counter, "/queue/new/", "4", **{**told, "promised_on": day(1)}), 409)
    body(do(counter, f"{at}withdraw/", "5", why=""), 400)
    page = body(counter.get(do(counter, f"{at}withdraw/", "6", why="sold the car")["Location"]))
    assert "– withdrawn" in page


def test_the_head_is_changed_pieces_are_added_and_the_order_is_cancelled(counter, shelf):
    at = take(counter, sku="TB-CAIRN", quantity=1)["Location"]
    do(counter, f"{at}change/", reference="RT 9", deposit_currency="GBP")
    assert "their reference RT 9" in body(counter.get(at))
    body(do(counter, f"{at}pieces/", "p", sku="TB-CAIRN", quantity=0), 400)
    do(counter, f"{at}pieces/", "p2", sku="TB-CAIRN", quantity=2)
    assert "2 held" in body(counter.get(at))
    body(do(counter, f"{at}close/", "e", why="enough"), 409)
    body(do(counter, f"{at}cancel/", "e1", why=""), 400)
    page = body(counter.get(do(counter, f"{at}cancel/", "e2", why="sold the car")["Location"]))
    assert "– cancelled" in page
    assert "sold the car" in page
    body(do(counter, f"{at}pieces/", "p3", sku="TB-CAIRN", quantity=2), 409)
    shelf.refresh_from_db()
    assert shelf.held == 0


def test_orders_are_listed_filtered_and_counted(counter, same_queries):
    def more():
        for _ in range(13):
            held_set()

    more()
    assert same_queries(lambda: body(counter.get("/orders/")), more) <= 9
    order = Order.objects.order_by("pk").first()
    assert order.number in body(counter.get("/orders/", {"q": order.number}))
    assert order.number in body(counter.get("/orders/", {"customer": order.customer_id}))
    assert "No order like that" in body(counter.get("/orders/", {"state": "cancelled"}))


def test_the_page_of_an_order_asks_no_more_with_more_lines(counter, same_queries):
    shop, order, _, _ = held_pieces()

    def more():
        for _ in range(3):
            _, _, _, hold = held_pieces(shop)
            line = hold.order_line
            line.order, line.position = order, order.lines.count() + 1
            line.save()

    more()
    assert same_queries(lambda: body(counter.get(f"/orders/{order.pk}/")), more) <= 16


def test_from_the_customer_straight_to_an_order(counter, shelf):
    one = CustomerFactory(name="Withy Lane Garage")
    page = body(counter.get(f"/customers/{one.pk}/"))
    assert f"/orders/new/?who={one.pk}" in page
    page = body(counter.get(f"{NEW}?who={one.pk}"))
    assert 'value="Withy Lane Garage"' in page
    take(counter, who=one.pk, name=one.name, sku="TB-CAIRN", quantity=2)
    page = body(counter.get(f"/customers/{one.pk}/"))
    assert "orders open" in page
