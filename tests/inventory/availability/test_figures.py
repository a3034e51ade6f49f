"""What a stock figure means."""

from __future__ import annotations

from datetime import date

import pytest

from inventory.availability import Figures, lots_of, on_shelf, stock_of
from tests.factories.buying import sent_order
from tests.factories.catalogue import SkuFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.stock import BlockFactory, LotFactory, stock_in
from tests.factories.when import AT
from tests.support.counting import queries_of

pytestmark = pytest.mark.django_db


def figures(sku, **more):
    return stock_of([sku.pk], at=AT, **more)[sku.pk]


def test_an_empty_shelf():
    sku = SkuFactory()
    assert figures(sku) == Figures(sku.pk, sku.code, "current", None)


def test_every_figure():
    sku = SkuFactory()
    stock_in(on_hand=10, held=3, sku=sku)
    stock_in(on_hand=2, sku=sku, place=PlaceFactory(goods_in=True))
    stock_in(on_hand=5, sku=sku, fitted=True)
    blocked = LotFactory(sku=sku)
    stock_in(lot=blocked, on_hand=4, held=1)
    BlockFactory(lot=blocked)
    BlockFactory(lot=blocked, reason="recall")
    stock_in(on_hand=6, sku=sku, place=PlaceFactory(quarantine=True))
    stock_in(on_hand=1, sku=sku, place=PlaceFactory(in_transit=True))
    stock_in(on_hand=2, sku=sku, place=PlaceFactory(despatch=True))
    stock_in(on_hand=8, sku=sku, customers=True)
    stock_in(on_hand=9, sku=sku, consigned=True, place=PlaceFactory(quarantine=True))
    found = figures(sku)
    assert (found.in_the_racks, found.spoken_for, found.to_sell) == (21, 4, 9)
    assert found.put_aside == 5 + 3
    assert (found.in_quarantine, found.on_the_way, found.not_ours) == (6, 3, 17)


def test_one_lot_in_several_places_is_counted_once_each():
    lot = LotFactory()
    for on_hand in (4, 3):
        stock_in(lot=lot, on_hand=on_hand)
    assert figures(lot.sku).to_sell == 7


def test_of_one_site():
    here, elsewhere = SiteFactory(), SiteFactory()
    sku = SkuFactory()
    stock_in(on_hand=4, sku=sku, place=PlaceFactory(site=here))
    assert figures(sku, site_id=here.pk).to_sell == 4
    assert figures(sku, site_id=elsewhere.pk).to_sell == 0


@pytest.mark.parametrize(
    ("sku", "coming"),
    [
        ({}, False),
        ({"last_stock": True}, False),
        ({"announced": True}, True),
        ({"expected_on": date(2027, 1, 9)}, True),
    ],
)
def test_what_is_coming(sku, coming):
    sku = SkuFactory(**sku)
    assert figures(sku).coming is coming
    assert figures(sku).expected_on == sku.expected_on


def test_what_is_on_order_and_when_the_next_comes():
    sku = SkuFactory(expected_on=date(2027, 6, 1))
    stock_in(on_hand=3, sku=sku)
    stock_in(on_hand=2, sku=sku)
    assert figures(sku).on_order == 0
    first = sent_order(8, skus=[sku])
    sent_order(4, skus=[sku], at=AT)
    found = figures(sku)
    assert (found.on_order, found.expected_on) == (12, first.lines.get().expected_on)
    assert found.in_the_racks == 5


def test_a_sku_that_is_not_there():
    assert stock_of([10**9], at=AT) == {}
    assert stock_of([], at=AT) == {}


def test_one_query_however_many():
    skus = [stock_in().lot.sku.pk for _ in range(6)]
    assert queries_of(lambda: stock_of(skus[:3], at=AT)) == 1
    assert queries_of(lambda: stock_of(skus, at=AT)) == 1


class TestOnShelf:
    def test_what_is_to_be_sold_comes_first(self):
        few, none, many = SkuFactory.create_batch(3)
        stock_in(on_hand=1, sku=few)
        stock_in(on_hand=9, sku=many)
        other = SkuFactory(size_text="195/70 R 15 91V")
        found = on_shelf(few.size_keys, at=AT)
        assert [one.sku_id for one in found] == [many.pk, few.pk, none.pk]
        assert [one.sku_id for one in on_shelf(other.size_keys, at=AT)] == [other.pk]

    def test_a_size_nobody_makes(self):
        assert on_shelf(["999/10-99 R"], at=AT) == []
        assert on_shelf([], at=AT) == []

    def test_no_more_than_asked_for(self):
        SkuFactory.create_batch(4)
        assert len(on_shelf(SkuFactory().size_keys, at=AT, most=3)) == 3

    def test_two_queries_however_many(self, same_queries):
        keys = SkuFactory().size_keys
        assert same_queries(lambda: on_shelf(keys, at=AT), lambda: SkuFactory.create_batch(5)) == 2


class TestLots:
    def test_everything_as_it_lies_in_walking_order(self):
        site = SiteFactory()
        far, near = (PlaceFactory(site=site, walk=walk) for walk in (7, 2))
        sku = SkuFactory()
        stock_in(sku=sku, place=far, date_code="1024")
        stock_in(sku=sku, place=near, date_code="2024")
        stock_in(sku=sku, place=near, date_code="1024", customers=True)
        lots = lots_of([sku.pk], at=AT)
        assert [(lot.place, lot.date_code) for lot in lots] == [
            (near.code, "1024"),
            (near.code, "2024"),
            (far.code, "1024"),
        ]
        assert [lot.rank for lot in lots] == [1, 1, 2]
        assert [lot.to_sell for lot in lots] == [False, True, True]

    def test_why_one_is_not_to_be_sold(self):
        lot = LotFactory()
        BlockFactory(lot=lot, reason="recall")
        BlockFactory(lot=lot, reason="damaged")
        BlockFactory(lot=lot, reason="too_old", lifted=True)
        stock_in(lot=lot, place=PlaceFactory(quarantine=True))
        (found,) = lots_of([lot.sku.pk], at=AT)
        assert found.blocked == ("damaged", "recall")
        assert (found.to_sell, found.place_kind, found.free) == (False, "quarantine", 4)

    def test_without_a_date_there_is_no_age(self):
        balance = stock_in(undated=True)
        (found,) = lots_of([balance.lot.sku.pk], at=AT)
        assert found.age is None

    def test_of_one_site(self):
        balance = stock_in()
        sku = balance.lot.sku.pk
        assert lots_of([sku], at=AT, site_id=SiteFactory().pk) == []
        assert len(lots_of([sku], at=AT, site_id=balance.place.site_id)) == 1

    def test_what_has_left_is_not_shown(self):
        balance = stock_in()
        type(balance).objects.update(on_hand=0)
        assert lots_of([balance.lot.sku.pk], at=AT) == []

    def test_one_query_however_many(self, same_queries):
        sku = SkuFactory()
        assert same_queries(lambda: lots_of([sku.pk], at=AT), lambda: stock_in(sku=sku)) == 1
