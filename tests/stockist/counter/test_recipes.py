"""The recipe of a set follows from the offer and the wishes."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fitments.lookup.span import read_span
from fitments.rules.values import Axle
from inventory.markings import oldest_allowed_week
from inventory.sets import Prefer
from stockist.counter.answer import Question, which_tyre
from stockist.counter.recipes import recipe_for
from stockist.counter.wishes import AnchorWish, Wishes
from tests.factories.catalogue import SkuFactory
from tests.factories.when import AT, TODAY

pytestmark = pytest.mark.django_db


@pytest.fixture
def offer(car, sku):
    [part] = which_tyre(Question(variant=car, built=read_span("1964")), at=AT).parts
    return part.offers[0].offer


def made(offer, wishes=None, limit_months=None):
    return recipe_for(offer, wishes or Wishes(), limit_months=limit_months, on=TODAY)


def test_two_in_front_and_two_behind(offer, sku):
    recipe = made(offer)
    assert [(place.name, place.skus, place.count) for place in recipe.places] == [
        ("front", (sku.pk,), 2),
        ("rear", (sku.pk,), 2),
    ]
    assert recipe.oldest_week is None


def test_a_spare_is_one_more_like_the_front_ones(offer, sku):
    spare = made(offer, Wishes(spare=True)).places[-1]
    assert (spare.name, spare.joins, spare.count, spare.skus) == ("spare", "front", 1, (sku.pk,))


def test_an_age_limit_becomes_the_oldest_allowed_week(offer):
    recipe = made(offer, limit_months=72)
    assert recipe.oldest_week == oldest_allowed_week(limit_months=72, on=TODAY)
    assert recipe.allow_undated


def test_who_asks_for_an_age_gets_no_undated_tyre(offer):
    assert not made(offer, Wishes(limit_years=5), limit_months=60).allow_undated


def test_wishes_reach_the_recipe(offer):
    wishes = Wishes(
        tolerance_weeks=None,
        same_delivery=True,
        car_tolerance_weeks=52,
        prefer=Prefer.NEWEST,
        anchor=AnchorWish(Axle.REAR, 2900, "1425"),
    )
    recipe = made(offer, wishes)
    assert recipe.prefer is Prefer.NEWEST
    assert recipe.car_tolerance_weeks == 52
    assert all(place.same_delivery for place in recipe.places)
    assert [(one.place, one.week) for one in recipe.anchors] == [("rear", 2900)]


def test_only_what_is_wanted_is_in_it(offer):
    recipe = made(offer, Wishes(front=0, rear=1))
    assert [(place.name, place.count) for place in recipe.places] == [("rear", 1)]
    assert made(offer, Wishes(front=0, rear=0)) is None


def test_a_marked_tyre_is_promised_with_its_mark_and_issue_only(car):
    SkuFactory(marked=True)
    [part] = which_tyre(Question(variant=car, built=read_span("1964")), at=AT).parts
    [offer] = [one.offer for one in (*part.offers, *part.refused)]
    assert {place.marks for place in made(offer).places} == {("HLM issue 2",)}


def test_handed_tyres_go_in_lefts_and_rights_and_one_alone_is_either(car, pattern):
    for hand in ("left", "right"):
        SkuFactory(pattern=pattern, maker=pattern.maker, hand=hand)
    [part] = which_tyre(Question(variant=car, built=read_span("1964")), at=AT).parts
    [offer] = [one.offer for one in part.offers]
    four, one = made(offer), made(offer, replace(Wishes(), front=1, rear=0))
    assert [(place.count, place.left, place.right) for place in four.places] == [(0, 1, 1)] * 2
    assert [(place.count, place.left, place.right) for place in one.places] == [(1, 0, 0)]
