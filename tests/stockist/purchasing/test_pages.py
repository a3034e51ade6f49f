"""The pages of orders to suppliers: drafted, filled, sent, changed, ended; what is expected."""

from __future__ import annotations

from datetime import date

import pytest

from inventory.activities import purchasing
from inventory.models.purchase import PurchaseOrder
from tests.factories.buying import (
    PriceBreakFactory,
    PurchaseLineFactory,
    PurchaseOrderFactory,
    SupplierTermsFactory,
    sent_order,
)
from tests.factories.catalogue import SkuFactory
from tests.factories.people import SupplierFactory
from tests.factories.places import SiteFactory
from tests.factories.when import AT

pytestmark = pytest.mark.django_db


@pytest.fixture
def buyer(signed_in):
    return signed_in("buyer")


def body(answer, status=200):
    assert answer.status_code == status, answer.content.decode()[:3000]
    return answer.content.decode()


def at(order, more=""):
    return f"/purchasing/orders/{order.pk}/{more}"


def step(client, order, what, key="k", **said):
    order.refresh_from_db()
    told = {"seen": order.version, "idempotency_key": key, **said}
    return client.post(at(order, f"{what}/"), told)


def test_an_order_is_written_filled_and_sent(buyer):
    terms = SupplierTermsFactory()
    PriceBreakFactory(terms=terms)
    said = {
        "supplier": terms.supplier_id, "deliver_to": SiteFactory().pk, "currency": "GBP",
        "idempotency_key": "d",
    }  # fmt: skip
    answer = buyer.post("/purchasing/draft/", said)
    order = PurchaseOrder.objects.get()
    assert answer["Location"] == at(order)
    assert "Nothing is on it yet." in body(buyer.get(at(order)))
    answer = step(buyer, order, "lines", sku=terms.sku.code.lower(), quantity=10)
    page = body(buyer.get(answer["Location"]))
    assert "1,120.00 GBP" in page
    page = body(buyer.get(step(buyer, order, "send", key="2")["Location"]))
    assert "→ sent" in page
    assert "10 to come" in page
    assert order.number in body(buyer.get("/purchasing/", {"state": "open"}))
    assert terms.sku.code in body(buyer.get("/purchasing/expected/"))


def test_what_is_not_on_the_suppliers_terms_is_told_before_it_is_sent(buyer):
    terms = SupplierTermsFactory(minimum=20)
    order = PurchaseOrderFactory(supplier=terms.supplier)
    PurchaseLineFactory(order=order, sku=terms.sku, quantity=10)
    assert "10 is below the least, 20." in body(buyer.get(at(order)))
    page = body(step(buyer, order, "send"), 422)
    assert "or say with whom it was agreed" in page
    answer = step(buyer, order, "send", key="2", agreed="Ottilie")
    assert "Agreed: Ottilie." in body(buyer.get(answer["Location"]))


@pytest.mark.parametrize(
    ("said", "status", "words"),
    [
        ({"sku": "NO", "quantity": 2}, 400, "“NO” was read, and the code of a SKU is wanted."),
        ({"quantity": 0}, 400, "0 tyres cannot be booked"),
        ({"quantity": -1}, 400, "-1 tyres cannot be booked"),
        ({"quantity": 10**9}, 400, "more than this shop can book at once"),
        ({"quantity": "2.5"}, 400, "Enter a whole number."),
        ({"quantity": 2, "unit_price": "-1"}, 400, "greater than or equal to 0"),
    ],
)
def test_lines_that_cannot_be(said, status, words, buyer):
    order = PurchaseOrderFactory()
    told = {"sku": SkuFactory().code, **said}
    assert words in body(step(buyer, order, "lines", **told), status)
    assert not order.lines.exists()


def test_a_price_that_cannot_be_told(buyer):
    line = PurchaseLineFactory(unit_price=None)
    assert f"no price is told for {line.sku.code}" in body(buyer.get(at(line.order)))


def test_somebody_elses_change_is_not_overrun(buyer):
    line = PurchaseLineFactory()
    order = line.order
    told = {"seen": order.version, "idempotency_key": "k", "sku": line.sku.code, "quantity": 3}
    purchasing.set_line(order=order, sku=line.sku, quantity=8, by=order.made_by, at=AT)
    page = body(buyer.post(at(order, "lines/"), told), 412)
    assert "since you opened it" in page
    line.refresh_from_db()
    assert line.quantity == 8


def test_a_line_is_taken_off_and_the_order_ended(buyer):
    order = sent_order(4, 6)
    sku = order.lines.first().sku
    page = body(buyer.get(step(buyer, order, "drop", sku=sku.code)["Location"]))
    assert "4 will not come" in page
    body(step(buyer, order, "give-up-rest", key="2", why=""), 400)
    page = body(buyer.get(step(buyer, order, "give-up-rest", key="3", why="no more")["Location"]))
    assert "✓ closed" in page
    assert "no more" in page
    assert "Keep this line" not in page
    page = body(step(buyer, order, "cancel", key="4", why="again"), 409)
    assert "was closed on" in page


def test_a_sent_order_is_cancelled(buyer):
    order = sent_order(4)
    page = body(buyer.get(step(buyer, order, "cancel", why="twice")["Location"]))
    assert "– cancelled" in page
    assert "Nothing like that is on order." in body(buyer.get("/purchasing/expected/"))


def test_orders_are_listed_filtered_and_paged(buyer, same_queries):
    supplier = SupplierFactory(name="Quarnford")
    old = sent_order(4)
    for _ in range(13):
        PurchaseLineFactory(order__supplier=supplier)

    def more():
        for _ in range(13):
            PurchaseLineFactory(order__supplier=supplier)

    assert same_queries(lambda: body(buyer.get("/purchasing/")), more) <= 9
    page = body(buyer.get("/purchasing/"))
    assert "Earlier ones" in page
    assert old.number not in page
    page = body(buyer.get("/purchasing/", {"supplier": old.supplier_id, "state": "sent"}))
    assert old.number in page


def test_what_is_expected_by_day_and_sku(buyer):
    order = sent_order(4, 6)
    first, second = (line.sku for line in order.lines.all())
    late = date(2027, 5, 1)
    purchasing.set_line(
        order=order, sku=first, quantity=4, expected_on=late, by=order.made_by, at=AT
    )
    page = body(buyer.get("/purchasing/expected/"))
    assert page.index(second.code) < page.index(first.code)
    assert "at first" in page
    page = body(buyer.get("/purchasing/expected/", {"sku": first.code}))
    assert second.code not in page
    page = body(buyer.get("/purchasing/expected/", {"until": "2027-01-01"}))
    assert first.code not in page
    assert "“NO” was read" in body(buyer.get("/purchasing/expected/", {"sku": "NO"}))


def test_the_warehouse_looks_on_and_books_in(signed_in):
    order = sent_order(4)
    warehouse = signed_in("warehouse")
    page = body(warehouse.get(at(order)))
    assert f"/goods-in/open/?order={order.pk}" in page
    assert "Keep this line" not in page
    assert step(warehouse, order, "lines").status_code == 403
    assert warehouse.get("/purchasing/draft/").status_code == 403
