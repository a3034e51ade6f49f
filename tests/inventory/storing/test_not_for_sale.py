"""Customers' tyres, even new ones, are promised to nobody and count as nobody's stock for sale."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest

from inventory import reordering
from inventory.activities import storing
from inventory.activities.holding import hold_pieces, hold_sets
from inventory.activities.holding.refusals import NoSet, NotEnough
from inventory.activities.preordering import queue, serve
from inventory.ageing import house_lots
from inventory.availability import Need, lots_of, promises, stock_of
from inventory.models.lot import Lot
from inventory.reordering.demand import By, demand_of
from inventory.reordering.range import read_range
from tests.factories.buying import ExpectedDeliveryFactory
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.planning import EarlierSalesFactory
from tests.factories.sending import four_alike
from tests.factories.storing import kept
from tests.factories.when import AT

pytestmark = pytest.mark.django_db
NEXT_MONTH = AT + timedelta(days=30)


@pytest.fixture
def sku():
    return SkuFactory()


@pytest.fixture
def row(sku):
    """Eight of it, new and of one week: two sets, if they were the house's."""
    return kept(8, sku=sku, date_code="1425", condition="new")


def test_no_set_at_the_counter_and_none_to_sell(sku, row):
    need = Need("four", four_alike(sku))
    (answer,) = promises([need], at=AT)
    assert (answer.sets, answer.chosen) == (0, ())
    assert not Lot.objects.promised().exists()
    figures = stock_of([sku.pk], at=AT)[sku.pk]
    assert (figures.to_sell, figures.spoken_for, figures.put_aside) == (0, 0, 0)
    assert figures.not_ours == 8
    (lot,) = lots_of([sku.pk], at=AT)
    assert lot.owner == "customer"


def test_nobody_can_hold_them(sku, row):
    told = {"customer": row.customer, "until": NEXT_MONTH, "by": UserFactory(), "at": AT}
    with pytest.raises(NotEnough):
        hold_pieces(sku=sku, quantity=1, **told)
    with pytest.raises(NoSet):
        hold_sets(need=Need(None, four_alike(sku)), sets=1, what="four alike", **told)


def test_no_pre_order_is_served_from_them(sku, row):
    coming, by, need = ExpectedDeliveryFactory(sku=sku, quantity=4), UserFactory(), four_alike(sku)
    waits = queue(
        need=Need(None, need), customer=CustomerFactory(), what="four alike", if_short="wait",
        promised_on=coming.expected_on + timedelta(days=90), by=by, at=AT,
    )  # fmt: skip
    turn = serve(expected=[coming.pk], by=by, at=NEXT_MONTH)
    assert (turn.served, turn.waiting) == ((), (waits,))


def test_the_reorder_plan_does_not_count_on_them(sku, row):
    EarlierSalesFactory(sku=sku, month=date(2026, 10, 1), sold=4)
    shelf = reordering.outlook(at=AT, limit_months=72).situation.position.shelf
    at = int(read_range().rows([sku.pk])[0])
    assert (shelf.on_hand[at], shelf.held[at], shelf.kept_out[at]) == (0, 0, 0)
    assert house_lots() == []


def test_handing_back_is_no_demand(sku, row):
    storing.hand_back(storage=row, handed_to="The owner", by=UserFactory(), at=AT)
    later = datetime(2027, 2, 1, 9, tzinfo=AT.tzinfo)
    assert demand_of(sku, at=later, by=By.MONTH) == []
