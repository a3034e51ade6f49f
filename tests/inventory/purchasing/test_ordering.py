"""Purchase orders: drafted, sent, changed, ended; and what the counter is told of them."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest

from inventory.activities import purchasing
from inventory.activities.purchasing import refusals
from inventory.ground.entries.faults import Faulty
from inventory.ledger.moves import NoneAsked, NotWhole, TooMany
from inventory.models.expected import ExpectedDelivery
from inventory.models.purchase import PurchaseState
from tests.factories.buying import (
    PriceBreakFactory,
    ProductionBatchFactory,
    PurchaseLineFactory,
    PurchaseOrderFactory,
    SupplierTermsFactory,
    sent_order,
)
from tests.factories.catalogue import SkuFactory
from tests.factories.people import SupplierFactory, UserFactory
from tests.factories.places import SiteFactory
from tests.factories.when import AT, TODAY

pytestmark = pytest.mark.django_db


@pytest.fixture
def by():
    return UserFactory()


def expected_of(order):
    rows = ExpectedDelivery.objects.filter(reference__startswith=order.number).order_by("pk")
    return list(rows.values_list("sku__code", "quantity", "expected_on", "state"))


def test_a_draft_is_not_expected(by):
    order = purchasing.draft(supplier=SupplierFactory(), deliver_to=SiteFactory(), by=by, at=AT)
    purchasing.set_line(order=order, sku=SkuFactory(), quantity=4, by=by, at=AT)
    assert (order.state, order.number) == (PurchaseState.DRAFT, f"PO-{order.pk:05}")
    assert expected_of(order) == []


def test_a_line_takes_price_and_age_from_the_terms(by):
    terms = SupplierTermsFactory(oldest_months=9)
    PriceBreakFactory(terms=terms, from_quantity=1, unit_price=Decimal("95"))
    PriceBreakFactory(terms=terms, from_quantity=50, unit_price=Decimal("90"))
    order = PurchaseOrderFactory(supplier=terms.supplier)
    line = purchasing.set_line(order=order, sku=terms.sku, quantity=60, by=by, at=AT)
    assert (line.unit_price, line.oldest_months) == (Decimal("90"), 9)


def test_terms_in_another_currency_give_no_price(by):
    terms = SupplierTermsFactory(currency="EUR")
    PriceBreakFactory(terms=terms)
    order = PurchaseOrderFactory(supplier=terms.supplier)
    line = purchasing.set_line(order=order, sku=terms.sku, quantity=8, by=by, at=AT)
    assert line.unit_price is None
    with pytest.raises(refusals.NotOnTheirTerms, match="sold in EUR, and the order is in GBP"):
        purchasing.send(order=order, by=by, at=AT)


def test_a_sku_is_on_an_order_once(by):
    line = PurchaseLineFactory(quantity=10)
    again = purchasing.set_line(order=line.order, sku=line.sku, quantity=12, by=by, at=AT)
    assert (again.pk, again.quantity) == (line.pk, 12)


@pytest.mark.parametrize(
    ("quantity", "why"),
    [(0, NoneAsked), (-1, NoneAsked), (10**9, TooMany), (2.5, NotWhole), (200_000, Faulty)],
)
def test_quantities_that_cannot_be_ordered(quantity, why, by):
    order = PurchaseOrderFactory()
    with pytest.raises(why):
        purchasing.set_line(order=order, sku=SkuFactory(), quantity=quantity, by=by, at=AT)
    assert not order.lines.exists()


def test_sent_lines_are_expected_by_their_lead_time(by):
    terms = SupplierTermsFactory(lead_time_days=42)
    order = PurchaseOrderFactory(supplier=terms.supplier)
    own = SkuFactory()
    purchasing.set_line(order=order, sku=terms.sku, quantity=4, by=by, at=AT)
    purchasing.set_line(
        order=order, sku=own, quantity=2, expected_on=date(2027, 1, 4), by=by, at=AT
    )
    sent = purchasing.send(order=order, by=by, at=AT)
    assert sent.state == PurchaseState.SENT
    assert set(expected_of(sent)) == {
        (terms.sku.code, 4, TODAY + timedelta(days=42), "expected"),
        (own.code, 2, date(2027, 1, 4), "expected"),
    }


def test_lines_of_a_batch_are_expected_with_it(by):
    batch = ProductionBatchFactory(minimum_tyres=8)
    order = PurchaseOrderFactory(supplier=batch.supplier, batch=batch)
    line = PurchaseLineFactory(order=order, quantity=8)
    purchasing.send(order=order, by=by, at=AT)
    assert expected_of(order) == [(line.sku.code, 8, batch.ready_on, "expected")]


@pytest.mark.parametrize(
    ("batch", "quantity", "words"),
    [
        ({}, 3, "3 is below the least, 4"),
        ({}, 5, "5 is not whole packs of 2; 6 would be"),
        ({"order_by": date(2026, 11, 22)}, 40, "could be ordered until 2026-11-22"),
        ({"minimum_tyres": 60}, 40, "is made from 60 pieces on; this makes 40"),
    ],
)
def test_what_is_not_on_the_suppliers_terms_is_sent_by_agreement_only(batch, quantity, words, by):
    terms = SupplierTermsFactory(minimum=4, pack=2)
    of = ProductionBatchFactory(supplier=terms.supplier, **batch) if batch else None
    order = PurchaseOrderFactory(supplier=terms.supplier, batch=of)
    PurchaseLineFactory(order=order, sku=terms.sku, quantity=quantity)
    with pytest.raises(refusals.NotOnTheirTerms, match=words):
        purchasing.send(order=order, by=by, at=AT)
    order.refresh_from_db()
    assert order.state == PurchaseState.DRAFT
    sent = purchasing.send(order=order, agreed="Ottilie, by telephone", by=by, at=AT)
    assert "Agreed: Ottilie, by telephone." in sent.note


def test_orders_of_one_batch_add_up(by):
    batch = ProductionBatchFactory(minimum_tyres=60)
    sent_order(40, supplier=batch.supplier, batch=batch, by=by)
    cancelled = sent_order(40, supplier=batch.supplier, batch=batch, by=by)
    purchasing.cancel(order=cancelled, why="twice", by=by, at=AT)
    order = PurchaseOrderFactory(supplier=batch.supplier, batch=batch)
    PurchaseLineFactory(order=order, quantity=20)
    assert purchasing.send(order=order, by=by, at=AT).state == PurchaseState.SENT


def test_a_batch_of_other_skus(by):
    batch = ProductionBatchFactory(minimum_tyres=1)
    batch.skus.add(SkuFactory())
    order = PurchaseOrderFactory(supplier=batch.supplier, batch=batch)
    PurchaseLineFactory(order=order)
    with pytest.raises(refusals.NotOnTheirTerms, match="is not made in batch"):
        purchasing.send(order=order, by=by, at=AT)


def test_a_batch_of_another_supplier(by):
    with pytest.raises(refusals.OtherSupplier, match="is not one of"):
        purchasing.draft(
            supplier=SupplierFactory(), deliver_to=SiteFactory(), batch=ProductionBatchFactory(),
            by=by, at=AT,
        )  # fmt: skip


def test_an_empty_order_is_not_sent(by):
    with pytest.raises(refusals.NothingOrdered):
        purchasing.send(order=PurchaseOrderFactory(), by=by, at=AT)


def test_an_order_is_sent_once(by):
    order = sent_order(4, by=by)
    with pytest.raises(refusals.NotADraft, match="is sent: the supplier has it"):
        purchasing.send(order=order, by=by, at=AT)
    assert len(expected_of(order)) == 1


def test_a_line_of_a_sent_order_is_changed_and_the_counter_is_told(by):
    order = sent_order(10, by=by)
    (line,) = order.lines.all()
    later = date(2027, 4, 1)
    purchasing.set_line(order=order, sku=line.sku, quantity=6, expected_on=later, by=by, at=AT)
    assert expected_of(order) == [(line.sku.code, 6, later, "expected")]
    first = ExpectedDelivery.objects.get().first_expected_on
    assert first != later
    new = SkuFactory()
    purchasing.set_line(order=order, sku=new, quantity=3, by=by, at=AT)
    assert (new.code, 3, TODAY + timedelta(days=28), "expected") in expected_of(order)


def test_a_line_taken_off_a_draft_and_off_a_sent_order(by):
    line = PurchaseLineFactory()
    purchasing.drop_line(order=line.order, sku=line.sku, by=by, at=AT)
    assert not line.order.lines.exists()
    order = sent_order(4, 6, by=by)
    first, second = order.lines.all()
    purchasing.drop_line(order=order, sku=first.sku, by=by, at=AT)
    first.refresh_from_db()
    assert (first.waived, first.to_come) == (4, 0)
    states = {code: state for code, _, _, state in expected_of(order)}
    assert states == {first.sku.code: "cancelled", second.sku.code: "expected"}
    with pytest.raises(refusals.NoSuchLine):
        purchasing.drop_line(order=order, sku=SkuFactory(), by=by, at=AT)


def test_given_up_the_last_line_closes_the_order(by):
    order = sent_order(4, by=by)
    ended = purchasing.give_up_rest(order=order, why="the mould is broken", by=by, at=AT)
    assert (ended.state, ended.ended_why) == (PurchaseState.CLOSED, "the mould is broken")
    with pytest.raises(refusals.OrderHasEnded, match="closed on 2026-11-23 by"):
        purchasing.set_line(order=order, sku=SkuFactory(), quantity=1, by=by, at=AT)


def test_a_draft_has_no_rest_and_an_end_has_a_reason(by):
    with pytest.raises(refusals.NotSentYet):
        purchasing.give_up_rest(order=PurchaseOrderFactory(), why="so", by=by, at=AT)
    with pytest.raises(refusals.SayWhyEnded):
        purchasing.cancel(order=PurchaseOrderFactory(), why=" ", by=by, at=AT)


def test_a_cancelled_order_is_expected_no_more(by):
    order = sent_order(4, by=by)
    assert purchasing.cancel(order=order, why="twice", by=by, at=AT).state == "cancelled"
    assert [state for *_, state in expected_of(order)] == ["cancelled"]
    with pytest.raises(refusals.OrderHasEnded):
        purchasing.cancel(order=order, why="twice", by=by, at=AT)


def test_the_head_of_a_draft_and_of_a_sent_order(by):
    order = PurchaseOrderFactory()
    purchasing.change_order(order=order, currency="EUR", note="by sea", by=by, at=AT)
    order.refresh_from_db()
    assert (order.currency, order.note, order.version) == ("EUR", "by sea", 2)
    sent = sent_order(4, by=by)
    purchasing.change_order(order=sent, their_reference="AB 12", by=by, at=AT)
    with pytest.raises(refusals.NotADraft):
        purchasing.change_order(order=sent, currency="EUR", by=by, at=AT)


def test_a_change_of_what_has_changed_since_is_refused(by):
    line = PurchaseLineFactory()
    seen = line.order.version
    told = {"order": line.order, "sku": line.sku, "seen": seen, "by": by, "at": AT}
    purchasing.set_line(quantity=8, **told)
    with pytest.raises(refusals.ChangedSince, match="since you opened it"):
        purchasing.set_line(quantity=9, **told)
    line.refresh_from_db()
    assert line.quantity == 8
