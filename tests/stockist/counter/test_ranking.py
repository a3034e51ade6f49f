"""The head of an answer is the head of the whole answer, however little was looked at for it."""

from __future__ import annotations

import random
from dataclasses import replace
from decimal import Decimal
from functools import partial

import pytest

from fitments.lookup.span import read_span
from fitments.lookup.spots import AsItStands
from inventory.models.sku import Sku
from inventory.sets import Prefer
from stockist.counter import ranking
from stockist.counter.answer import Question, which_tyre
from stockist.counter.ranking import MOST_REFUSED
from stockist.counter.stock import Stock
from stockist.counter.wishes import Wishes
from tests.factories.catalogue import CompanionFactory, SkuFactory, TypeApprovalFactory
from tests.factories.stock import stock_in
from tests.factories.when import AT
from tests.support.counting import queries_of

pytestmark = pytest.mark.django_db
SIZES = ("185/70 R 15 89V", "185/70 R 15 89H", "195/65 R 15 91V", "205/60 R 15 91V")


@pytest.fixture
def shop(car, pattern, approved):
    """Tyres of every standing, many without a date: looking at lots changes their verdict."""
    rng = random.Random(11)
    for number in range(14):
        sku = SkuFactory(
            maker=pattern.maker,
            pattern=pattern,
            size_text=rng.choice(SIZES),
            price=rng.choice([None, Decimal(100), Decimal(100 + number)]),
            status=rng.choice(["current", "current", "discontinued"]),
            sidewall=rng.choice(["black", "raised_letters"]),
        )
        if number % 2:
            TypeApprovalFactory(sku=sku)
        for _ in range(rng.choice([0, 1, 3])):
            code = rng.choice(["", "1425", "2024", "0119"])
            stock_in(on_hand=rng.choice([1, 2, 4]), sku=sku, date_code=code)
    both = {"maker": pattern.maker, "pattern": pattern}
    stock_in(on_hand=3, sku=SkuFactory(left=True, **both))
    stock_in(on_hand=3, sku=SkuFactory(right=True, **both))
    return car


WISHES = {
    "four": Wishes(),
    "a pair": Wishes(front=2, rear=0),
    "one each": Wishes(front=1, rear=1),
    "newest": Wishes(prefer=Prefer.NEWEST, car_tolerance_weeks=26),
    "spare": Wishes(spare=True, tolerance_weeks=None),
}


def asked(car, wishes, **more):
    stands = AsItStands(house_limit_months=72)
    question = Question(variant=car, built=read_span("1964"), stands=stands, wishes=wishes)
    return which_tyre(question, at=AT, **more)


@pytest.mark.parametrize("wishes", WISHES.values(), ids=WISHES)
def test_any_page_is_cut_from_the_whole_answer(shop, wishes):
    [whole] = asked(shop, wishes).parts
    assert whole.count == len(whole.offers) > 5
    told = [_plain(one) for one in whole.offers]
    for first, most in ((0, 1), (0, 3), (2, 4), (5, 50)):
        [part] = asked(shop, wishes, first=first, most=most).parts
        assert [_plain(one) for one in part.offers] == told[first : first + most]
        assert [_plain(one) for one in part.refused] == [_plain(one) for one in whole.refused]
        assert part.count == whole.count


def _plain(one):
    # a lot's rank is its turn among all that was asked for: the only thing that may differ
    lots = [replace(lot, rank=0) for lot in one.lots]
    sets = one.sets
    chosen = [replace(each, lot=replace(each.lot, rank=0)) for each in sets.chosen]
    return one.offer.code, one.verdict, replace(sets, chosen=chosen), one.figures, lots


def test_a_verdict_is_by_the_chosen_tyres_and_the_order_by_that_verdict(shop):
    [whole] = asked(shop, Wishes()).parts
    outcomes = {(one.offer.listed, one.verdict.outcome) for one in whole.offers}
    assert len(outcomes) > 2
    keys = [(not one.offer.listed, one.verdict.outcome) for one in whole.offers]
    assert keys == sorted(keys)
    for one in whole.offers:
        assert bool(one.in_stock) == ("age" in one.verdict.by_rule)


@pytest.mark.parametrize("wishes", WISHES.values(), ids=WISHES)
def test_the_usual_price_is_that_of_the_prospect(shop, wishes, monkeypatch):
    """Worked out for all from little, it is what each set would be priced at by itself."""
    for free in (4, 9, 6):  # of several tubes a set takes the one of which most are free
        tube = SkuFactory(tube_kind=True, price=Decimal(20 + free))
        stock_in(on_hand=free, sku=tube)
        CompanionFactory(for_size=True, companion=tube)
    own, other = Sku.objects.tyres().filter(size=SIZES[0])[:2]
    CompanionFactory(tyre=own, companion__price=Decimal(7))
    CompanionFactory(tyre=other, may=True, companion__price=Decimal(8))
    CompanionFactory(for_size=True, rim_kind="spoked", companion__price=Decimal(9))
    seen = []
    fetch = Stock.fetch

    def fetched(stock, offers):
        offers = list(offers)
        fetch(stock, offers)
        seen.extend((stock.usual_price(one), stock.prospect(one).usual_price) for one in offers)

    monkeypatch.setattr(Stock, "fetch", fetched)
    asked(shop, wishes)
    assert len(seen) > 5
    assert len({usual for usual, _ in seen}) > 2
    for usual, price in seen:
        assert usual == price.amount


def test_what_is_listed_in_vain_comes_by_stock_and_price_however_few_are_read(shop):
    """The cheapest are not there, so that those read at first have no set among them."""
    slow = {"size_text": "185/70 R 15 89Q"}  # listed, and too slow for the car
    for number in range(MOST_REFUSED * 2):
        SkuFactory(price=Decimal(50 + number), **slow)
    there = [SkuFactory(price=Decimal(300 - number), **slow) for number in range(5)]
    for sku in there:
        stock_in(on_hand=4, sku=sku)
    [part] = asked(shop, Wishes(), most=2).parts
    [whole] = asked(shop, Wishes()).parts
    assert len(part.refused) == MOST_REFUSED
    assert [one.skus[0].code for one in part.refused[:5]] == [sku.code for sku in reversed(there)]
    assert [_plain(one) for one in part.refused] == [_plain(one) for one in whole.refused]


def test_offers_that_are_not_shown_are_not_held_against_the_shelf(shop, monkeypatch):
    fetched = []
    fetch = Stock.fetch
    monkeypatch.setattr(
        Stock,
        "fetch",
        lambda stock, offers: fetched.extend(some := list(offers)) or fetch(stock, some),
    )
    for number in range(20):
        stock_in(on_hand=4, sku=SkuFactory(price=Decimal(200 + number)))
    [part] = asked(shop, Wishes(), most=4).parts
    assert 4 <= len(set(fetched)) < part.count


def test_only_what_is_shown_is_looked_at(shop, monkeypatch):
    looked = []
    look = ranking.Standing.look
    monkeypatch.setattr(ranking.Standing, "look", lambda one: looked.append(one) or look(one))
    [part] = asked(shop, Wishes(), most=1).parts
    assert len({id(one) for one in looked}) < part.count


FEWEST, MOST = 16, 23
"""Queries of an answer: the shelf is read for the likely ones, for the next, for all others."""


def test_no_more_queries_at_twice_the_offers(shop):
    counted = set()
    for _ in range(3):
        for more in ({}, {"most": 3}, {"most": 3, "first": 6}):
            asked(shop, Wishes())  # what is only asked once a process is asked now
            counted.add(queries_of(partial(asked, shop, Wishes(), **more)))
        for _ in range(8):
            stock_in(on_hand=4, sku=SkuFactory())
    assert FEWEST <= min(counted) <= max(counted) <= MOST
