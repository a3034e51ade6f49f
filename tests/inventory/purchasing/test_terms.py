"""Terms of suppliers and production batches."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from inventory.activities.purchasing import change_batch, change_terms, make_batch, make_terms
from inventory.activities.purchasing.terms import price_of
from inventory.ground.entries.faults import Faulty
from inventory.ground.refusal import StaleVersion
from tests.factories.buying import ProductionBatchFactory, SupplierTermsFactory
from tests.factories.catalogue import SkuFactory
from tests.factories.people import SupplierFactory, UserFactory
from tests.factories.when import AT

pytestmark = pytest.mark.django_db
BREAKS = [(1, Decimal("95.00")), (50, Decimal("92.00")), (200, Decimal("88.50"))]


@pytest.mark.parametrize(
    ("quantity", "price"), [(1, "95.00"), (49, "95.00"), (50, "92.00"), (1000, "88.50")]
)
def test_the_price_of_so_many(quantity, price):
    assert price_of(BREAKS, quantity) == Decimal(price)


def test_no_price_is_told_for_so_few():
    assert price_of(BREAKS[1:], 49) is None
    assert price_of([], 1) is None


def made(**values):
    told = {"supplier": SupplierFactory(), "sku": SkuFactory(), "breaks": BREAKS, **values}
    return make_terms(by=UserFactory(), at=AT, **told)


def breaks_of(terms):
    return list(terms.breaks.values_list("from_quantity", "unit_price"))


def test_terms_are_kept_with_their_breaks():
    terms = made(minimum=8, pack=4, lead_time_days=70, lead_time_spread_days=14, oldest_months=12)
    assert breaks_of(terms) == BREAKS
    assert terms.history.count() == 1


def test_breaks_are_replaced_whole_or_left_alone():
    terms, by = made(), UserFactory()
    change_terms(terms=terms, by=by, at=AT, minimum=6)
    assert breaks_of(terms) == BREAKS
    change_terms(terms=terms, by=by, at=AT, breaks=BREAKS[:1])
    assert breaks_of(terms) == BREAKS[:1]


def test_a_change_of_what_somebody_else_changed_is_refused():
    terms, by = made(), UserFactory()
    seen = terms.history.latest().history_id
    change_terms(terms=terms, by=by, at=AT, seen=seen, minimum=6)
    with pytest.raises(StaleVersion):
        change_terms(terms=terms, by=by, at=AT, seen=seen, minimum=8)


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"breaks": [(1, Decimal(9)), (1, Decimal(8))]}, "Two prices are told from 1 pieces"),
        ({"breaks": [(0, Decimal(9))]}, "from 1 to 100,000 pieces on, not from 0"),
        ({"breaks": [(1, Decimal("-1"))]}, "-1 is no price"),
        ({"breaks": [(1, Decimal("1.005"))]}, "1.005 is no price"),
        ({"minimum": 0}, "The least on an order is 1"),
        ({"pack": 0}, "a pack 1 to 1,000"),
        (
            {"lead_time_days": 10, "lead_time_spread_days": 11},
            "nothing comes before it was ordered",
        ),
        ({"oldest_months": 0}, "The oldest accepted is 1 to 600 months"),
        ({"currency": "pounds"}, "at most 3"),
    ],
)
def test_terms_that_cannot_be(values, words):
    with pytest.raises(Faulty, match=words):
        made(**values)


def test_terms_are_one_per_supplier_and_sku():
    there = SupplierTermsFactory()
    with pytest.raises(Faulty, match="terms for this SKU are there already"):
        made(supplier=there.supplier, sku=there.sku)


def test_a_batch_of_some_skus():
    skus = SkuFactory.create_batch(2)
    told = {"code": "SPRING", "order_by": date(2026, 12, 1), "ready_on": date(2027, 3, 1)}
    batch = make_batch(by=UserFactory(), at=AT, supplier=SupplierFactory(), skus=skus, **told)
    assert set(batch.skus.all()) == set(skus)
    change_batch(batch=batch, by=UserFactory(), at=AT, skus=skus[:1])
    assert list(batch.skus.all()) == skus[:1]
    change_batch(batch=batch, by=UserFactory(), at=AT, skus=[])
    assert not batch.skus.exists()


def test_a_batch_is_not_ready_before_its_cut_off():
    batch = ProductionBatchFactory()
    with pytest.raises(Faulty, match="ready on the last day to order, or later"):
        change_batch(batch=batch, by=UserFactory(), at=AT, ready_on=date(2026, 1, 1))


def test_the_code_of_a_batch_is_one_for_its_supplier():
    there = ProductionBatchFactory(code="SPRING")
    told = {"code": "spring", "order_by": date(2026, 12, 1), "ready_on": date(2027, 3, 1)}
    with pytest.raises(Faulty, match="a batch of this code already"):
        make_batch(by=UserFactory(), at=AT, supplier=there.supplier, **told)
    assert make_batch(by=UserFactory(), at=AT, supplier=SupplierFactory(), **told)
