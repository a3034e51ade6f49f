"""Sets on the page of an SKU are those that the counter promises."""

from __future__ import annotations

from datetime import date
from html import escape
from types import SimpleNamespace

import pytest
from django.conf import settings
from django.utils import timezone

from fitments.rules.values import Axle
from inventory.availability import Need, promises
from inventory.availability.pairs import sets_of_pairs
from inventory.ground.jobs.kinds import Work
from inventory.models.alert import Alert
from inventory.models.sku import Sku
from inventory.tasks import reorder_alerts
from stockist.counter.offers import Offer, Offered
from stockist.counter.recipes import recipe_for
from stockist.counter.wishes import Wishes
from tests.factories.planning import EarlierSalesFactory, SkuPairFactory
from tests.factories.stock import LotFactory, stock_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def pair():
    """Six fronts of one week; six rears of which only two are within half a year of each other,
    and two more that are too old for the house."""
    pair = SkuPairFactory(front__code="A-FRONT", rear__code="B-REAR")
    stock_in(lot=LotFactory(sku=pair.front, date_code="1425"), on_hand=6)
    for date_code, on_hand in (("1425", 2), ("0924", 1), ("0723", 1), ("0522", 1), ("0119", 2)):
        stock_in(lot=LotFactory(sku=pair.rear, date_code=date_code), on_hand=on_hand)
    return pair


def offer(pair):
    """The two as the counter would offer them for a car."""

    def part(axle, sku):
        tyre = SimpleNamespace(mark=sku.mark, mark_issue=sku.mark_issue)
        return Offered(axle, (SimpleNamespace(sku=sku, tyre=tyre),))

    return Offer((part(Axle.FRONT, pair.front), part(Axle.REAR, pair.rear)), listed=True)


def counters_word(pair):
    at, on = timezone.now(), timezone.localdate()
    recipe = recipe_for(offer(pair), Wishes(), limit_months=settings.HOUSE_AGE_LIMIT_MONTHS, on=on)
    (answer,) = promises([Need("asked", recipe)], at=at)
    return answer


def page_of(client, sku):
    return client.get(f"/reorder/skus/{sku.pk}/").content.decode()


def test_what_the_page_says_the_counter_promises(signed_in, pair):
    buyer, answer = signed_in("buyer"), counters_word(pair)
    assert answer.sets == 1
    for sku in (pair.front, pair.rear):
        page = page_of(buyer, sku)
        assert "<b>1</b> complete set of two and two" in page
        assert escape(answer.reason) in page
    assert "of which 7 are free, of whatever age" in page_of(buyer, pair.front)
    assert "of which 6 are free" in page_of(buyer, pair.rear)
    hold = stock_in(lot=LotFactory(sku=pair.rear, date_code="1025"), on_hand=2)
    assert counters_word(pair).sets == 2
    assert "<b>2</b> complete sets" in page_of(buyer, pair.front)
    hold.held = 2
    hold.save()
    assert "<b>1</b> complete set " in page_of(buyer, pair.front)


def test_with_marks(signed_in, pair):
    """Sold under issue 2: tyres of another issue make no set."""
    Sku.objects.filter(pk=pair.front_id).update(mark="HLM", mark_issue="2")
    pair.refresh_from_db()
    assert counters_word(pair).sets == 0
    assert "<b>0</b> complete sets" in page_of(signed_in("buyer"), pair.front)


def test_the_night_counts_alike_and_says_why_pieces_are_not_sets(signed_in, pair):
    this = timezone.localdate().replace(day=1)
    for sku in (pair.front, pair.rear):
        for n in range(1, 25):
            year, month = divmod(this.year * 12 + this.month - 1 - n, 12)
            EarlierSalesFactory(sku=sku, month=date(year, month + 1, 1), sold=9)
    reorder_alerts(Work(0, "tonight", {}, None, timezone.now()), None)
    told = Alert.objects.get(sku=pair.rear).told
    assert told["mate"]["sets"] == counters_word(pair).sets == 1
    assert told["mate"]["by_number"] == 2
    assert any("would be 2 sets by number" in words for words in told["problems"])
    assert "The night counted" not in page_of(signed_in("buyer"), pair.rear)


def test_built_for_one_side(signed_in, pair):
    Sku.objects.filter(pk=pair.rear_id).update(hand="left")
    at, limit = timezone.now(), settings.HOUSE_AGE_LIMIT_MONTHS
    assert sets_of_pairs([(pair.front_id, pair.rear_id)], limit_months=limit, at=at) == {}
    assert "built for one side" in page_of(signed_in("buyer"), pair.front)


def test_as_many_queries_for_twice_the_pairs(pair, same_queries):
    pairs = [(pair.front_id, pair.rear_id)]

    def more():
        for _ in range(4):
            made = SkuPairFactory()
            stock_in(lot=LotFactory(sku=made.front), on_hand=2)
            pairs.append((made.front_id, made.rear_id))

    look = lambda: sets_of_pairs(pairs, limit_months=72, at=timezone.now())  # noqa: E731
    assert same_queries(look, more) <= 4
