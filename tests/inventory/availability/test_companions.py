"""Tubes, tapes and valves: which must go with a set, and how they bound it."""

from __future__ import annotations

import pytest

from inventory.availability import Need, promises
from inventory.sets.recipe import Companion, Recipe, RecipePlace
from tests.factories.catalogue import CompanionFactory, SkuFactory
from tests.factories.places import PlaceFactory
from tests.factories.stock import BlockFactory, LotFactory, stock_in
from tests.factories.when import AT

pytestmark = pytest.mark.django_db


@pytest.fixture
def sku():
    tyre = SkuFactory()
    stock_in(on_hand=8, sku=tyre)
    return tyre


def ask(*skus, companions=(), **wheels):
    places = tuple(
        RecipePlace(name, (sku.pk,), 4 // len(skus))
        for name, sku in zip(("front", "rear"), skus, strict=False)
    )
    (answer,) = promises([Need("set", Recipe(places, companions=companions), **wheels)], at=AT)
    return answer


def told(answer):
    return {(fact.code, fact.need, fact.per_set, fact.free) for fact in answer.companions}


def test_without_tubes_there_is_no_set(sku):
    tube = CompanionFactory(tyre=sku).companion
    answer = ask(sku)
    assert answer.sets == 0
    assert answer.chosen == ()
    assert answer.reason
    assert told(answer) == {(tube.code, "must", 4, 0)}


def test_tubes_bound_the_sets(sku):
    tube = CompanionFactory(tyre=sku).companion
    stock_in(on_hand=7, sku=tube, undated=True)
    answer = ask(sku)
    assert (answer.sets, answer.bound) == (1, 1)
    assert told(answer) == {(tube.code, "must", 4, 7)}


def test_what_may_go_along_bounds_nothing(sku):
    tape = CompanionFactory(tyre=sku, may=True).companion
    answer = ask(sku)
    assert answer.sets == 2
    assert told(answer) == {(tape.code, "may", 4, 0)}


def test_what_must_not_is_told_and_not_taken(sku):
    tube = CompanionFactory(tyre=sku, must_not=True).companion
    answer = ask(sku)
    assert answer.sets == 2
    assert told(answer) == {(tube.code, "must_not", 0, 0)}


def test_a_row_for_the_size(sku):
    tube = CompanionFactory(for_size=True).companion
    assert ask(sku).sets == 0
    stock_in(on_hand=8, sku=tube, undated=True)
    assert ask(sku).sets == 2


def test_the_tyres_own_row_goes_before_its_sizes(sku):
    tube = CompanionFactory(for_size=True).companion
    CompanionFactory(tyre=sku, companion=tube, must_not=True)
    assert ask(sku).sets == 2


def test_a_row_for_one_kind_of_rim(sku):
    CompanionFactory(tyre=sku, rim_kind="spoked")
    assert ask(sku).sets == 2
    assert ask(sku, rim_kind="disc").sets == 2
    assert ask(sku, rim_kind="spoked").sets == 0


def test_the_row_for_the_rim_goes_before_the_one_for_any(sku):
    tube = CompanionFactory(tyre=sku, may=True).companion
    CompanionFactory(tyre=sku, companion=tube, rim_kind="spoked")
    assert told(ask(sku)) == {(tube.code, "may", 4, 0)}
    assert told(ask(sku, rim_kind="spoked")) == {(tube.code, "must", 4, 0)}


def test_of_two_tubes_that_would_do_the_one_there_is_more_of(sku):
    for valve, on_hand in (("TR13", 2), ("TR15", 8)):
        tube = CompanionFactory(tyre=sku, valve=valve).companion
        stock_in(on_hand=on_hand, sku=tube, undated=True)
    answer = ask(sku)
    assert answer.sets == 2
    assert [fact.code for fact in answer.companions] == [tube.code]
    assert ask(sku, valve="tr13").sets == 0


def test_a_tube_and_a_tape_are_both_needed(sku):
    tube = CompanionFactory(tyre=sku).companion
    tape = CompanionFactory(tyre=sku, companion=SkuFactory(rim_tape=True)).companion
    stock_in(on_hand=8, sku=tube, undated=True)
    assert ask(sku).sets == 0
    assert f"{tape.code}: only 0, a set takes 4" in ask(sku).reason
    stock_in(on_hand=4, sku=tape, undated=True)
    assert ask(sku).sets == 1


def test_several_to_a_tyre(sku):
    valve = CompanionFactory(tyre=sku, companion=SkuFactory(valve_kind=True), per_tyre=2).companion
    stock_in(on_hand=12, sku=valve, undated=True)
    assert ask(sku).sets == 1


def test_one_tube_for_both_axles(sku):
    rear = SkuFactory(size_text="195/70 R 15 91V")
    stock_in(on_hand=4, sku=rear)
    tube = CompanionFactory(tyre=sku).companion
    CompanionFactory(tyre=rear, companion=tube)
    stock_in(on_hand=7, sku=tube, undated=True)
    answer = ask(sku, rear)
    assert answer.sets == 1
    assert told(answer) == {(tube.code, "must", 4, 7)}


def test_what_the_recipe_itself_asks_for_is_kept(sku):
    tape = SkuFactory(rim_tape=True)
    none = ask(sku, companions=(Companion(tape.pk),))
    assert none.sets == 0
    assert f"{tape.code}: only 0" in none.reason
    stock_in(on_hand=4, sku=tape, undated=True)
    answer = ask(sku, companions=(Companion(tape.pk),))
    assert answer.sets == 1
    assert answer.price.amount == 4 * (sku.price + tape.price)


@pytest.mark.parametrize("trait", ["blocked", "quarantine", "consigned", "held"])
def test_companions_count_as_tyres_do(sku, trait):
    tube = CompanionFactory(tyre=sku).companion
    lot = LotFactory(sku=tube, undated=True, consigned=trait == "consigned")
    place = PlaceFactory(quarantine=trait == "quarantine")
    stock_in(on_hand=8, held=8 if trait == "held" else 0, lot=lot, place=place)
    if trait == "blocked":
        BlockFactory(lot=lot)
    assert ask(sku).sets == 0


def test_tubes_of_another_site_do_not_help(sku):
    tube = CompanionFactory(tyre=sku).companion
    stock_in(on_hand=8, sku=tube, undated=True)
    site = PlaceFactory().site
    stock_in(on_hand=4, sku=sku, place=PlaceFactory(site=site))
    assert ask(sku, site_id=site.pk).sets == 0
    stock_in(on_hand=4, sku=tube, undated=True, place=PlaceFactory(site=site))
    assert ask(sku, site_id=site.pk).sets == 1
