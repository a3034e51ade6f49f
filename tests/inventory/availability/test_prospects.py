"""What is worked out when it is asked for is what working everything out at once gives."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from inventory.availability import Need, promises, prospects, stock_and_promises, stock_of
from inventory.availability.promising import fact_of, rows_as_lots, set_lot, tyre_facts
from inventory.availability.shelf import promised_rows, shelf_lot
from inventory.sets import choose, promise
from inventory.sets.recipe import Recipe, RecipePlace
from tests.factories.catalogue import CompanionFactory, SkuFactory
from tests.factories.stock import stock_in
from tests.factories.when import AT
from tests.support.counting import queries_of

pytestmark = pytest.mark.django_db


def shelf(seed):
    rng = random.Random(seed)
    skus = [SkuFactory(left=True), SkuFactory(right=True), SkuFactory(), SkuFactory(price=None)]
    for sku in skus:
        for _ in range(rng.randint(0, 5)):
            week = f"{rng.randint(1, 35):02}25"
            code = rng.choice([week, week, week, ""])
            stock_in(on_hand=rng.randint(1, 4), sku=sku, date_code=code)
    return skus


def seen(row, facts):
    [lot] = rows_as_lots([row], facts[row[3]], {})
    return lot


def needs_of(skus):
    left, right, one, other = (sku.pk for sku in skus)
    places = {
        "pair": (RecipePlace("front", (one,), 2),),
        "four": (RecipePlace("front", (one,), 2), RecipePlace("rear", (one,), 2)),
        "staggered": (RecipePlace("front", (one,), 2), RecipePlace("rear", (other,), 2)),
        "either": (RecipePlace("rear", (one, other), 2, tolerance_weeks=8),),
        "handed": (RecipePlace("front", (left, right), left=1, right=1),),
    }
    return [Need(name, Recipe(some, allow_undated=True)) for name, some in places.items()]


@pytest.mark.parametrize("seed", range(4))
def test_counts_sets_and_reasons_are_those_of_a_promise(seed):
    skus = shelf(seed)
    facts = tyre_facts([sku.pk for sku in skus])
    rows = promised_rows([sku.pk for sku in skus], at=AT)
    for prospect, answer in zip(
        prospects(needs_of(skus), at=AT), promises(needs_of(skus), at=AT), strict=True
    ):
        recipe = prospect.need.recipe
        wanted = {sku for place in recipe.places for sku in place.skus}
        if answer.key != "handed":  # two hands are one SKU to a recipe: told in test_promises
            here = [seen(row, facts) for row in rows if row[3] in wanted]
            found, best = promise(recipe, here), choose(recipe, here)
            told = (answer.sets, answer.bound, answer.reason, dict(answer.pieces))
            assert told == (found.sets, found.bound, found.reason, found.pieces)
            lots = [
                (part.for_place, (part.lot.lot_id, part.lot.place_id), part.quantity)
                for part in answer.chosen
            ]
            assert lots == [(p.place, key, n) for p in best.chosen.places for key, n in p.lots]
        assert (prospect.count.sets, prospect.count.bound) == (answer.sets, answer.bound)
        assert prospect.chosen == answer.chosen
        assert prospect.answer == answer
        if answer.key != "either":
            assert prospect.usual_price == answer.price


def test_a_row_is_seen_as_its_value_is():
    skus = shelf(9)
    facts = tyre_facts([sku.pk for sku in skus])
    rows = promised_rows([sku.pk for sku in skus], at=AT)
    assert rows
    for row in rows:
        lot = shelf_lot(row)
        assert seen(row, facts) == set_lot(lot, facts[lot.sku_id], {})
        assert lot.blocked == ()


def test_three_queries_for_any_number_of_needs_and_none_afterwards(same_queries):
    skus = shelf(5)
    tube = SkuFactory(tube_kind=True)
    CompanionFactory(tyre=skus[2], companion=tube)
    asked = list(skus)

    def ask():
        needs = [need for sku in asked for need in needs_of([*skus[:2], sku, sku])]
        return [one.answer for one in prospects(needs, at=AT)]

    def more():
        for _ in range(4):
            sku = SkuFactory()
            stock_in(on_hand=4, sku=sku)
            asked.append(sku)

    assert same_queries(ask, more) == 3


def test_read_together_they_say_what_they_say_apart():
    skus = shelf(1)
    needs, keys = needs_of(skus), [sku.pk for sku in skus]
    apart = stock_of(keys, at=AT), promises(needs, at=AT)
    assert stock_and_promises(skus, needs, at=AT) == apart
    assert stock_and_promises(skus[:1], needs, at=AT)[1] == apart[1]  # others are looked up
    assert any(answer.sets for answer in apart[1])
    assert queries_of(lambda: stock_and_promises(skus, needs, at=AT)) == 3


def test_hands_of_one_build_are_one_whether_at_hand_or_looked_up():
    mate = {"code": "B", "mark": "HLM", "mark_issue": "2", "load_index": 84}
    left = SkuFactory(left=True, **{**mate, "code": "A"})
    right = SkuFactory(
        right=True, maker=left.maker, pattern=left.pattern, compound=left.compound, **mate
    )
    other = SkuFactory(right=True, code="C")
    told = tyre_facts([left.pk, right.pk, other.pk])
    for facts in (told, {sku.pk: fact_of(sku) for sku in (left, right, other)}):
        assert facts[left.pk].build == facts[right.pk].build != facts[other.pk].build
        assert {replace(fact, build="") for fact in facts.values()} == {
            replace(fact, build="") for fact in told.values()
        }
