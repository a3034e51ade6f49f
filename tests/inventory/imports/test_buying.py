"""Terms, batches and purchase orders from spreadsheets."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from inventory.models.expected import ExpectedDelivery
from inventory.models.purchase import PurchaseOrder
from inventory.models.supplier_terms import ProductionBatch, SupplierTerms
from tests.factories.catalogue import SkuFactory
from tests.factories.people import SupplierFactory
from tests.factories.places import SiteFactory
from tests.ground.sheet_loads import loaded, wrong

pytestmark = pytest.mark.django_db
TERMS = [
    *("supplier", "SKU", "their code", "price breaks", "currency", "least", "pack"),
    *("lead time days", "days early or late", "oldest months", "note"),
]
BATCHES = ["supplier", "batch", "order by", "expected on", "least of all together", "SKUs", "note"]
ORDERS = [
    *("order", "supplier", "deliver to", "batch", "SKU", "quantity", "unit price", "currency"),
    *("expected on", "sent"),
]


@pytest.fixture(autouse=True)
def catalogue():
    SupplierFactory(code="OST", name="Ostrey")
    SiteFactory(code="MAIN")
    SkuFactory(code="T1")
    SkuFactory(code="T2")


def terms(sku="T1", breaks="8: 95; 50: 92.50", least="8", pack="4", late="14"):
    return ["ost", sku, "X1", breaks, "GBP", least, pack, "70", late, "12", ""]


def test_terms_with_their_breaks():
    loaded("supplier-terms", TERMS, terms())
    found = SupplierTerms.objects.get()
    assert (found.minimum, found.pack, found.lead_time_days, found.oldest_months) == (8, 4, 70, 12)
    told = list(found.breaks.values_list("from_quantity", "unit_price"))
    assert told == [(8, Decimal("95")), (50, Decimal("92.50"))]
    again = loaded("supplier-terms", TERMS, terms(breaks="8: 96"))
    assert (again.new, again.changed) == (0, 1)


def test_terms_that_cannot_be():
    assert wrong(
        "supplier-terms", TERMS, terms(breaks="95"), terms("T2", breaks="1: dear"),
        terms("T1-X"), terms("T2", late="71"),
    ) == [
        "row 2, price breaks: “95” is no price break, such as 50: 92.00 for 50 and more.",
        "row 3, price breaks: “dear” is not a number, such as 12.5, written without a unit.",
        "row 4, SKU: there is no SKU “T1-X”.",
        "row 5, days early or late: The days early or late are from none to the lead time: nothing "
        "comes before it was ordered.",
    ]  # fmt: skip


def test_terms_are_refused_in_the_words_of_every_other_way_in():
    assert wrong(
        "supplier-terms", TERMS, terms(least="10"), terms("T2", breaks="1: 95"),
    ) == [
        "row 2, least: 10 is not whole packs of 4: 8 or 12 would be.",
        "row 2, price breaks: No order is of fewer than 10, and a price is told from 8 on: the "
        "first is from 10 on, or from more.",
        "row 3, price breaks: No order is of fewer than 8, and a price is told from 1 on: the "
        "first is from 8 on, or from more.",
    ]  # fmt: skip
    loaded("supplier-terms", TERMS, terms())
    without = [name for name in TERMS if name != "price breaks"]
    row = terms(least="12")
    del row[TERMS.index("price breaks")]
    assert wrong("supplier-terms", without, row) == [
        "row 2, price breaks: No order is of fewer than 12, and a price is told from 8 on: the "
        "first is from 12 on, or from more.",
    ]


def batch(code="SPRING", order_by="2026-12-01", ready="2027-03-01", skus="T1; t2"):
    return ["OST", code, order_by, ready, "40", skus, ""]


def test_batches():
    loaded("production-batches", BATCHES, batch(), batch("AUTUMN", skus=""))
    spring = ProductionBatch.objects.get(code="SPRING")
    assert {sku.code for sku in spring.skus.all()} == {"T1", "T2"}
    assert (spring.order_by, spring.minimum_tyres) == (date(2026, 12, 1), 40)
    assert wrong("production-batches", BATCHES, batch(ready="2026-11-01")) == [
        "row 2, expected on: A batch is ready on the last day to order, or later."
    ]


def test_a_batch_that_can_no_longer_be_ordered_is_changed_and_not_entered():
    late = batch("LATE", order_by="2026-11-01")
    assert wrong("production-batches", BATCHES, late) == [
        "row 2, order by: LATE could be ordered until 2026-11-01, and today is 2026-11-23: a batch "
        "is entered before its cut-off."
    ]
    loaded("production-batches", BATCHES, batch())
    loaded("production-batches", BATCHES, batch(order_by="2026-11-01"))
    assert ProductionBatch.objects.get().order_by == date(2026, 11, 1)


def line(order="A-1", sku="T1", quantity="8", price="", currency="GBP", sent="yes", batch=""):
    return [order, "OST", "MAIN", batch, sku, quantity, price, currency, "2027-02-01", sent]


def test_orders_of_several_lines_sent_and_not():
    loaded(
        "purchase-orders", ORDERS,
        line(), line(sku="T2", price="90.00"), line("a-2", sent="no"),
    )  # fmt: skip
    sent, draft = PurchaseOrder.objects.order_by("pk")
    assert (sent.state, sent.lines.count(), draft.state) == ("sent", 2, "draft")
    assert sent.note.startswith("Entered from a spreadsheet as A-1.")
    assert [row.expected_on for row in ExpectedDelivery.objects.all()] == [date(2027, 2, 1)] * 2
    again = loaded(
        "purchase-orders", ORDERS,
        line(), line(sku="T2", price="90.00"), line("a-2", sent="no"),
    )  # fmt: skip
    assert again.earlier is not None
    assert PurchaseOrder.objects.count() == 2


def test_orders_that_cannot_be():
    assert wrong(
        "purchase-orders", ORDERS,
        line(quantity="0"), line(sku="T2", currency="EUR"), line("B", quantity="2.5"),
        line("C", price="-1"), line("D", batch="SPRING"), line("E", currency="pounds"),
        line("B-1"), line("B-1"),
    ) == [
        "row 2, quantity: An order line is for 1 to 100,000 pieces.",
        "row 3, currency: an earlier row says other things of order A-1.",
        "row 4, quantity: “2.5” is not a whole number, written without any mark or unit.",
        "row 5, unit price: A price cannot be below nought.",
        "row 6, batch: there is no batch “SPRING” of Ostrey.",
        "row 7, currency: Ensure this value has at most 3 characters (it has 6).",
        "row 9, SKU: row 8 is about the same already: keep one of the two.",
    ]  # fmt: skip
    assert not PurchaseOrder.objects.exists()
