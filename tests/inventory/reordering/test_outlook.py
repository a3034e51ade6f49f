"""From the tables to the alert line: every field from where it belongs."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import numpy as np
import pytest

from inventory import reordering
from inventory.models.hold import Hold, HoldLine
from inventory.models.preorder import IfShort, PreOrder, PreOrderLine
from inventory.planning import NO_MATE
from inventory.reordering.range import CATEGORIES, read_range
from inventory.reordering.shelves import read_coming
from tests.factories.buying import (
    ExpectedDeliveryFactory,
    PriceBreakFactory,
    ProductionBatchFactory,
    SupplierTermsFactory,
)
from tests.factories.catalogue import PatternFactory, SkuFactory
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.planning import (
    EarlierSalesFactory,
    SeasonChangeFactory,
    SeasonFactory,
    SkuPairFactory,
)
from tests.factories.stock import BlockFactory, LotFactory, stock_in

pytestmark = pytest.mark.django_db
TODAY = date(2027, 1, 12)
AT = datetime(2027, 1, 12, 8, 0, tzinfo=UTC)


def months(sku, pieces=4, count=24, **more):
    """So many months of other books until December 2026."""
    for n in range(count):
        year, month = divmod(2026 * 12 + 11 - n, 12)
        EarlierSalesFactory(sku=sku, month=date(year, month + 1, 1), sold=pieces, **more)


def terms(sku, price="80", **more):
    made = SupplierTermsFactory(
        sku=sku, **{"lead_time_days": 42, "lead_time_spread_days": 0, **more}
    )
    if price:
        PriceBreakFactory(terms=made, unit_price=Decimal(price))
    return made


def noted(at=AT):
    return reordering.notes(reordering.outlook(at=at, limit_months=72))


def test_the_whole_line():
    SeasonFactory()
    sku = SkuFactory(code="T-1", price=Decimal("120"))
    months(sku)
    made = terms(sku, minimum=24, pack=4)
    stock_in(lot=LotFactory(sku=sku, date_code="1425"), on_hand=6, held=1)
    ExpectedDeliveryFactory(sku=sku, quantity=3, expected_on=TODAY + timedelta(days=200))
    (one,) = noted()
    told = one.told
    assert (one.sku_id, one.free, told["held"]) == (sku.pk, 5, 1)
    assert one.supplier_id == made.supplier_id
    assert one.batch_id is None
    assert one.need > 0
    assert one.pieces == max(24, -(-one.need // 4) * 4)
    assert one.cost == 80 * one.pieces
    assert one.currency == "GBP"
    assert one.order_by == one.first_risk - timedelta(days=42)
    assert told["coming"][0]["in_time"] is False
    assert told["confidence"]["sale_months"] == 24
    assert told["confidence"]["own"] > 0.8
    assert 7 < told["cover"]["expected"] < 11  # 4 a month over ten weeks, less the quiet season
    assert told["chances"]["with_order"] < 0.05 < told["chances"]["without"]
    assert one.sentence.endswith(".")
    assert told["course"]["stock"][0] == 5


def test_mates_make_sets():
    pair = SkuPairFactory(front__code="A-FRONT", rear__code="B-REAR")
    for sku, on_hand in ((pair.front, 10), (pair.rear, 3)):
        months(sku)
        terms(sku)
        stock_in(lot=LotFactory(sku=sku), on_hand=on_hand)
    found = {one.sku_id: one for one in noted()}
    mate = found[pair.rear_id].told["mate"]
    assert mate == {"code": "A-FRONT", "free": 10, "sets": 1, "by_number": 1, "binding": True}
    assert found[pair.rear_id].told["place"] == "rear"
    assert found[pair.rear_id].cause == "mate_short"


def test_a_batch_and_a_cut_off_that_is_past():
    sku = SkuFactory()
    months(sku)
    made = terms(sku)
    ProductionBatchFactory(
        supplier=made.supplier, code="WINTER", order_by=date(2027, 1, 8), ready_on=date(2027, 2, 20)
    )
    spring = ProductionBatchFactory(
        supplier=made.supplier, code="SPRING", order_by=date(2027, 2, 1), ready_on=date(2027, 3, 20)
    )
    ProductionBatchFactory(order_by=date(2027, 1, 20), ready_on=date(2027, 2, 1))  # another's
    (one,) = noted()
    assert one.batch_id == spring.pk
    assert one.order_by == spring.order_by
    assert one.told["order_by"]["missed"] == "WINTER"
    assert any("WINTER was 8 Jan 2027: it is closed" in words for words in one.told["problems"])


def test_a_batch_of_named_skus_is_for_those_only():
    mine, other = SkuFactory(code="A"), SkuFactory(code="B")
    made = terms(mine)
    terms(other, supplier=made.supplier)
    batch = ProductionBatchFactory(
        supplier=made.supplier, order_by=date(2027, 2, 1), ready_on=date(2027, 3, 20)
    )
    batch.skus.add(mine)
    for sku in (mine, other):
        months(sku)
    assert [one.batch_id for one in sorted(noted(), key=lambda one: one.sku_id)] == [batch.pk, None]


def test_the_cheapest_supplier_is_asked():
    sku = SkuFactory()
    months(sku)
    terms(sku, price="90")
    cheap = terms(sku, price="70")
    terms(sku, price=None)
    (one,) = noted()
    assert one.supplier_id == cheap.supplier_id
    assert one.cost == 70 * one.pieces


class TestBadInput:
    """Each gets a sentence, and the rest goes on."""

    @pytest.fixture
    def good(self):
        sku = SkuFactory(code="Z-GOOD")
        months(sku)
        terms(sku)
        return sku

    def only(self, good, bad):
        found = {one.sku_id: one for one in noted()}
        assert not found[good.pk].told["problems"]
        return found[bad.pk].told["problems"]

    def test_no_history(self, good):
        bad = SkuFactory()
        terms(bad)
        assert "No sale yet: all of the forecast is its range's average." in self.only(good, bad)

    def test_one_sale(self, good):
        bad = SkuFactory()
        terms(bad)
        EarlierSalesFactory(sku=bad, month=date(2026, 12, 1), sold=2)
        assert self.only(good, bad)[0].startswith("Sold in one month only")

    def test_more_came_back_than_went_out(self, good):
        bad = SkuFactory()
        terms(bad)
        EarlierSalesFactory(sku=bad, month=date(2026, 10, 1), sold=2)
        EarlierSalesFactory(sku=bad, month=date(2026, 11, 1), sold=-5)
        assert "3 came back that no sale in the history explains: left out." in self.only(good, bad)

    def test_no_terms_and_no_price(self, good):
        bad = SkuFactory()
        months(bad)
        said = self.only(good, bad)
        assert "No supplier's terms: reckoned with a lead time of 28 days." in said
        assert "No price known: the cost of the order is left out." in said

    def test_what_only_stands_in_the_catalogue_is_no_alert(self, good):
        SkuFactory()
        SkuFactory(status="discontinued")
        assert [one.sku_id for one in noted()] == [good.pk]


def test_nothing_in_the_house():
    assert noted() == []


def test_what_is_made_no_more_is_not_ordered():
    sku = SkuFactory(status="last_stock")
    months(sku)
    terms(sku)
    assert noted() == []


def test_stock_that_may_not_be_sold_is_told_apart():
    sku = SkuFactory()
    rack = PlaceFactory()
    stock_in(lot=LotFactory(sku=sku, date_code="1425"), on_hand=5, held=2, place=rack)
    stock_in(lot=LotFactory(sku=sku, aged=True), on_hand=3, place=rack)
    blocked = LotFactory(sku=sku, date_code="2025")
    BlockFactory(lot=blocked)
    stock_in(lot=blocked, on_hand=2, place=rack)
    stock_in(lot=LotFactory(sku=sku, undated=True), on_hand=1, place=rack)
    stock_in(lot=LotFactory(sku=sku, customers=True), on_hand=7, place=rack)
    known = read_range()
    found = reordering.outlook(at=AT, limit_months=72).situation.position.shelf
    row = int(known.rows(np.array([sku.pk]))[0])
    assert (found.on_hand[row], found.held[row], found.kept_out[row]) == (6, 2, 5)


def test_an_overdue_delivery_does_not_count():
    sku = SkuFactory()
    ExpectedDeliveryFactory(sku=sku, expected_on=TODAY - timedelta(days=3), reference="PO-OLD")
    found = read_coming(read_range(), today=TODAY)
    assert found.moves.day.tolist() == [-3]
    assert found.references == ["PO-OLD"]


def test_next_seasons_change_counts():
    sku = SkuFactory()
    months(sku, count=36)
    terms(sku)
    before = noted()[0].told["cover"]["expected"]
    SeasonChangeFactory(first_day=TODAY, last_day=TODAY + timedelta(days=120), percent=100)
    SeasonChangeFactory(category="winter", first_day=TODAY, last_day=TODAY, percent=400)
    SeasonChangeFactory(
        taken_back=True, first_day=TODAY, last_day=TODAY + timedelta(days=120), percent=300
    )
    assert noted()[0].told["cover"]["expected"] == pytest.approx(2 * before, rel=0.01)


@pytest.mark.parametrize(
    ("use", "weather", "category"),
    [
        ("road", "any", "road"),
        ("road", "winter", "winter"),
        ("road_and_track", "dry", "road_legal"),
        ("competition", "dry", "race_dry"),
        ("competition", "wet", "race_wet"),
        ("competition", "winter", "winter"),
    ],
)
def test_by_whose_season_it_sells(use, weather, category):
    pattern = PatternFactory(use=use, weather=weather)
    SkuFactory(pattern=pattern, maker=pattern.maker)
    known = read_range()
    assert CATEGORIES[int(known.category[0])] == category
    assert known.mate.tolist() == [NO_MATE]


def test_as_many_queries_for_twice_the_range(same_queries):
    SeasonFactory()

    def more():
        for n in range(4):
            sku = SkuFactory()
            months(sku, count=3)
            stock_in(lot=LotFactory(sku=sku), on_hand=n + 1)
            made = terms(sku)
            ProductionBatchFactory(supplier=made.supplier)
            ExpectedDeliveryFactory(sku=sku)

    more()
    assert same_queries(noted, more) <= 24


def test_the_plan_keeps_to_the_money_and_tells_its_bound():
    SeasonFactory(budget=Decimal("3000"))
    pair = SkuPairFactory(front__code="A-FRONT", rear__code="B-REAR")
    for sku in (pair.front, pair.rear, SkuFactory(code="C-ALONE")):
        sku.price = Decimal("130")
        sku.save()
        months(sku)
        terms(sku)
    found = reordering.outlook(at=AT, limit_months=72)
    plan = reordering.season_plan(found, Decimal("3000"), "GBP")
    assert 0 < plan.cost <= 3000
    assert plan.cost == pytest.approx(sum(line.cost for line in plan.lines))
    assert 0 < plan.gain <= plan.bound * (1 + 1e-9)
    assert {line.code for line in plan.lines} <= {"A-FRONT", "B-REAR", "C-ALONE"}
    nothing = reordering.season_plan(found, Decimal(0), "GBP")
    assert nothing.lines == ()
    assert reordering.season_plan(found, Decimal("3000"), "EUR").left_out == 3
    one = reordering.notes(reordering.with_purse(found, plan.purse))[0]
    assert one.told["money"]["price_of_money"] == pytest.approx(plan.price_of_money, abs=1e-4)


def test_what_is_queued_for_a_delivery_is_spoken_for():
    sku = SkuFactory()
    coming = ExpectedDeliveryFactory(sku=sku, expected_on=TODAY + timedelta(days=20))
    waiting, withdrawn = (
        PreOrder.objects.create(
            customer=CustomerFactory(),
            what="four alike",
            recipe={},
            promised_on=TODAY + timedelta(days=20),
            if_short=IfShort.WAIT,
            queued_at=AT - timedelta(days=40),
            queued_by=UserFactory(),
            **more,
        )
        for more in ({}, {"state": "withdrawn", "ended_at": AT, "ended_by": UserFactory()})
    )
    for order in (waiting, withdrawn):
        PreOrderLine.objects.create(pre_order=order, expected=coming, quantity=4)
    found = reordering.outlook(at=AT, limit_months=72)
    queued = found.situation.position.queued
    assert (queued.day.tolist(), queued.units.tolist()) == ([20], [4])
    # Both asked, and there was nothing to give.
    row = int(found.known.rows(np.array([sku.pk]))[0])
    assert found.history.asked_in_vain[row].sum() == 8


def test_a_hold_that_has_run_out_is_free_again():
    sku = SkuFactory()
    balance = stock_in(lot=LotFactory(sku=sku, date_code="1425"), on_hand=6, held=4)
    for until in (AT - timedelta(hours=1), AT + timedelta(days=1)):
        hold = Hold.objects.create(
            customer=CustomerFactory(),
            what="a pair",
            until=until,
            made_at=AT - timedelta(days=3),
            made_by=UserFactory(),
        )
        HoldLine.objects.create(hold=hold, lot=balance.lot, place=balance.place, quantity=2)
    shelf = reordering.outlook(at=AT, limit_months=72).situation.position.shelf
    assert (shelf.on_hand.tolist(), shelf.held.tolist()) == ([6], [2])
