"""Enquiries that name only a size: shared among the tyres of it that had none, or told beside."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from inventory.reordering.books import read_books
from inventory.reordering.calendar import months_before
from inventory.reordering.history import history_of
from inventory.reordering.range import read_range
from inventory.reordering.sizes import SizeAsked, sizes_asked
from tests.factories.catalogue import SkuFactory
from tests.factories.planning import EarlierSalesFactory
from tests.factories.stock import EnquiryFactory
from tests.support.traded import Shop

pytestmark = pytest.mark.django_db
TODAY = date(2026, 7, 10)
AT = datetime(2026, 7, 10, 9, tzinfo=UTC)
MAY = datetime(2026, 5, 5, 12, tzinfo=UTC)
SIZE = "185/70 R 15"


def in_vain():
    """Pieces asked for in vain in May, by the SKU's code; unmet ones are none."""
    known = read_range()
    books = read_books(known, until=TODAY + timedelta(days=1))
    found = history_of(books, months_before(TODAY, 6), known.count)
    assert found.unmet.sum() == 0
    return dict(zip(known.code, found.asked_in_vain[:, 4].tolist(), strict=True))


def sold_out(code, pieces, **more):
    """Came in February and was gone by April."""
    shop = Shop(SkuFactory(code=code, **more))
    shop.came(pieces, date(2026, 2, 1))
    shop.sent(pieces, date(2026, 4, 1))
    return shop


def test_shared_by_what_the_tyres_sell():
    sold_out("A", 8)
    sold_out("B", 2)
    EnquiryFactory(sku=None, size=SIZE, pieces=4, asked_at=MAY)
    assert in_vain() == {"A": pytest.approx(4 * 9 / 12), "B": pytest.approx(4 * 3 / 12)}


def test_however_the_size_is_written_and_none_of_another():
    sold_out("A", 4)
    sold_out("OTHER", 4, size_text="165 R 400")
    EnquiryFactory(sku=None, size="185/70-15", pieces=4, asked_at=MAY)
    assert in_vain() == {"A": 4, "OTHER": 0}


def test_who_wanted_another_than_what_was_there_is_not_counted_for_it():
    sold_out("GONE", 4)
    Shop(SkuFactory(code="THERE")).came(4, date(2026, 2, 1))
    EnquiryFactory(sku=None, size=SIZE, pieces=6, asked_at=MAY)
    assert in_vain() == {"GONE": 6, "THERE": 0}


def test_what_only_stands_in_the_catalogue_has_no_share():
    SkuFactory(code="NEVER")
    EarlierSalesFactory(sku=SkuFactory(code="OLD-BOOKS"), month=date(2026, 1, 1), sold=3)
    sold_out("DISCONTINUED", 4, status="discontinued")
    EnquiryFactory(sku=None, size=SIZE, pieces=2, asked_at=MAY)
    assert in_vain() == {"DISCONTINUED": 0, "NEVER": 0, "OLD-BOOKS": 2}


def test_what_cannot_be_read_or_nobody_has_is_told_beside():
    sold_out("A", 4)
    for size, pieces in (("165 R 400", 4), ("165 R 400", 2), ("as on my dad's car", 1), (SIZE, 4)):
        EnquiryFactory(sku=None, size=size, pieces=pieces, asked_at=MAY)
    EnquiryFactory(sku=None, size="165 R 400", asked_at=AT - timedelta(days=800))
    EnquiryFactory(asked_at=MAY)  # names its SKU
    assert in_vain()["A"] == 4
    assert sizes_asked(AT) == [
        SizeAsked("165 R 400", 2, 6, MAY.date(), 0),
        SizeAsked(SIZE, 1, 4, MAY.date(), 2),
        SizeAsked("as on my dad's car", 1, 1, MAY.date(), 0),
    ]


def test_as_many_queries_for_twice_the_enquiries(same_queries):
    sold_out("A", 4)
    EnquiryFactory(sku=None, size=SIZE, asked_at=MAY)
    size = {"sku": None, "asked_at": MAY}
    more = lambda: [EnquiryFactory(size="165 R 400", **size) for _ in range(5)]  # noqa: E731
    assert same_queries(in_vain, more) <= 9


def test_rows_of_keys_are_the_same_by_table_and_by_search():
    """Many keys are looked up in a table, few are searched for; some stand for nothing here."""
    skus = [SkuFactory(code=code) for code in ("C", "A", "B")]
    known = read_range()
    asked = np.array([skus[0].pk, skus[0].pk + 10_000, skus[1].pk, skus[2].pk, skus[0].pk, 0])
    by_code = {sku.pk: "ABC".index(sku.code) for sku in skus}
    told = [by_code.get(key, -1) for key in asked.tolist()]
    for number in range(1, asked.size + 1):
        assert known.rows(asked[:number]).tolist() == told[:number]
    assert known._looked_up(asked).tolist() == told
    assert read_range([]).rows(asked).tolist() == [-1] * asked.size
