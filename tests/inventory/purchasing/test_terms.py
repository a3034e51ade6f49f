"""Terms of suppliers and production batches."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.activities.purchasing import change_batch, change_terms, make_batch, make_terms
from inventory.activities.purchasing.pricing import breaks_wrong, price_of
from inventory.ground.entries.faults import Faulty
from inventory.ground.entries.writing import version_of
from inventory.ground.refusal import StaleVersion
from inventory.ground.violations import Violated, named_violation
from inventory.models.supplier_terms import ProductionBatch
from tests.factories.buying import ProductionBatchFactory, SupplierTermsFactory
from tests.factories.catalogue import SkuFactory
from tests.factories.people import SupplierFactory, UserFactory
from tests.factories.when import AT
from tests.support.concurrency import at_once

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
    told = [(8, Decimal("95.00")), *BREAKS[1:]]
    terms = made(
        minimum=8, pack=4, lead_time_days=70, lead_time_spread_days=14, oldest_months=12,
        breaks=told,
    )  # fmt: skip
    assert breaks_of(terms) == told
    assert terms.history.count() == 1


def test_breaks_are_replaced_whole_or_left_alone():
    terms, by = made(), UserFactory()
    change_terms(terms=terms, by=by, at=AT, lead_time_days=21)
    assert breaks_of(terms) == BREAKS
    change_terms(terms=terms, by=by, at=AT, breaks=BREAKS[:1])
    assert breaks_of(terms) == BREAKS[:1]


def test_a_change_of_what_somebody_else_changed_is_refused():
    terms, by = made(), UserFactory()
    seen = terms.history.latest().history_id
    change_terms(terms=terms, by=by, at=AT, seen=seen, lead_time_days=21)
    with pytest.raises(StaleVersion):
        change_terms(terms=terms, by=by, at=AT, seen=seen, lead_time_days=28)


def test_a_change_of_the_breaks_alone_is_a_version_too():
    terms, by = made(), UserFactory()
    seen = terms.history.latest().history_id
    change_terms(terms=terms, by=by, at=AT, seen=seen, breaks=BREAKS[:1])
    with pytest.raises(StaleVersion):
        change_terms(terms=terms, by=by, at=AT, seen=seen, breaks=BREAKS[:2])
    assert breaks_of(terms) == BREAKS[:1]
    latest = terms.history.latest()
    change_terms(terms=terms, by=by, at=AT, breaks=BREAKS[:1])
    assert terms.history.latest() == latest


def test_a_new_least_is_held_against_the_prices_that_are_there():
    terms, by = made(), UserFactory()
    with pytest.raises(Faulty, match="No order is of fewer than 6, and a price is told from 1 on"):
        change_terms(terms=terms, by=by, at=AT, minimum=6)
    told = [(6, Decimal(95)), (50, Decimal(92))]
    change_terms(terms=terms, by=by, at=AT, minimum=6, breaks=told)
    change_terms(terms=terms, by=by, at=AT, minimum=4)
    assert breaks_of(terms) == told


@given(
    st.lists(st.tuples(st.integers(-5, 40), st.decimals(-2, 9, places=2)), max_size=5),
    st.integers(1, 12),
)
def test_breaks_that_pass_can_be_ordered_and_are_never_dearer_for_more(breaks, minimum):
    wrong = list(breaks_wrong(breaks, minimum))
    quantities = [quantity for quantity, _ in breaks]
    prices = [price for _, price in sorted(breaks)]
    sound = (
        len(set(quantities)) == len(quantities)
        and all(quantity >= minimum for quantity in quantities)
        and all(price >= 0 for price in prices)
        and prices == sorted(prices, reverse=True)
    )
    assert sound is not bool(wrong)


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"breaks": [(1, Decimal(9)), (1, Decimal(8))]}, "Two prices are told from 1 pieces"),
        ({"breaks": [(0, Decimal(9))]}, "from 1 to 100,000 pieces on, not from 0"),
        ({"breaks": [(1, Decimal("-1"))]}, "-1 is no price"),
        ({"breaks": [(1, Decimal("1.005"))]}, "1.005 is no price"),
        ({"breaks": [(1, Decimal("NaN"))]}, "NaN is no price"),
        ({"breaks": [(1, Decimal(9)), (10, Decimal("9.01"))]}, "does not rise with the quantity"),
        ({"breaks": [(3, Decimal(9))], "minimum": 4}, "No order is of fewer than 4"),
        ({"breaks": [], "minimum": 10, "pack": 4}, "10 is not whole packs of 4: 8 or 12 would be."),
        ({"breaks": [], "minimum": 2, "pack": 4}, "2 is not whole packs of 4: 4 would be."),
        ({"lead_time_days": 0}, "A lead time is 1 to 1,100 days."),
        ({"lead_time_days": -1}, "A lead time is 1 to 1,100 days."),
        ({"lead_time_days": 10**9}, "A lead time is 1 to 1,100 days."),
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


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (
            {"order_by": date(2026, 11, 1)},
            "and today is 2026-11-23: a batch is entered before",
        ),
        ({"ready_on": date(2026, 11, 30)}, "ready on the last day to order, or later"),
        ({"minimum_tyres": 0}, "The least of a batch is 1 to 1,000,000"),
        ({"minimum_tyres": -4}, "The least of a batch is 1 to 1,000,000"),
    ],
)
def test_batches_that_cannot_be(wrong, words):
    told = {"code": "LATE", "order_by": date(2026, 12, 1), "ready_on": date(2027, 3, 1), **wrong}
    with pytest.raises(Faulty, match=words):
        make_batch(by=UserFactory(), at=AT, supplier=SupplierFactory(), **told)
    assert not ProductionBatch.objects.exists()


def test_a_batch_whose_cut_off_has_passed_is_still_corrected():
    batch = ProductionBatchFactory(order_by=date(2026, 10, 1))
    change_batch(batch=batch, by=UserFactory(), at=AT, ready_on=date(2027, 4, 1))
    batch.refresh_from_db()
    assert batch.ready_on == date(2027, 4, 1)


def test_of_two_people_who_change_a_batch_the_second_is_told():
    skus, by = SkuFactory.create_batch(2), UserFactory()
    told = {"code": "SPRING", "order_by": date(2026, 12, 1), "ready_on": date(2027, 3, 1)}
    batch = make_batch(by=by, at=AT, supplier=SupplierFactory(), **told)
    seen = batch.history.latest().history_id
    change_batch(batch=batch, seen=seen, by=by, at=AT, skus=skus)
    with pytest.raises(StaleVersion):
        change_batch(batch=batch, seen=seen, by=by, at=AT, minimum_tyres=60)


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ({"minimum": 10, "pack": 4}, "The least on an order is whole packs."),
        ({"lead_time_days": 0, "lead_time_spread_days": 0}, "A lead time is 1 to 1,100 days."),
        ({"pack": 0}, "a pack 1 to 1,000"),
    ],
)
def test_the_database_refuses_it_too(row, words):
    with pytest.raises(Violated, match=words), named_violation():
        SupplierTermsFactory(**row)


def test_the_code_of_a_batch_is_one_for_its_supplier():
    there = ProductionBatchFactory(code="SPRING")
    told = {"code": "spring", "order_by": date(2026, 12, 1), "ready_on": date(2027, 3, 1)}
    with pytest.raises(Faulty, match="a batch of this code already"):
        make_batch(by=UserFactory(), at=AT, supplier=there.supplier, **told)
    assert make_batch(by=UserFactory(), at=AT, supplier=SupplierFactory(), **told)


@pytest.mark.django_db(transaction=True)
def test_two_people_change_the_prices_at_once_and_the_second_is_told():
    terms, people = made(), UserFactory.create_batch(2)
    seen = version_of(terms)

    def change(number):
        told = [(1, Decimal(90 - number))]
        return change_terms(terms=terms, seen=seen, by=people[number], at=AT, breaks=told)

    answers = at_once(*(lambda number=number: change(number) for number in range(2)))
    stale = [isinstance(answer, StaleVersion) for answer in answers]
    assert sorted(stale) == [False, True]
    assert breaks_of(terms) == [(1, Decimal(90 - stale.index(False)))]
