"""What is plain to see is what the search finds."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from inventory.sets import Companion, Lot, Match, Prefer, Recipe, RecipePlace, choose
from inventory.sets.evident import evident_set
from tests.sets.cases import KINDS, case

TWO = (RecipePlace("front", ("A",), 2), RecipePlace("rear", ("A",), 2))
FOUR = Recipe(TWO)
OLD = Lot("old", "A", 10, 4)


def by_search(monkeypatch, recipe, lots, **more):
    with monkeypatch.context() as patched:
        patched.setattr("inventory.sets.choice.evident_set", lambda recipe, lots: None)
        return choose(recipe, lots, **more)


def roomy(rng, kind):
    """A shelf with lots that are enough by themselves, and a recipe that lets them be."""
    recipe, lots = case(rng, kind, 14)
    lots = [replace(lot, quantity=lot.quantity * rng.choice((1, 2, 3))) for lot in lots]
    if rng.random() < 0.7:
        places = tuple(replace(place, same_delivery=False) for place in recipe.places)
        recipe = replace(recipe, anchors=(), places=places)
    return recipe, lots


@pytest.mark.parametrize("kind", KINDS)
def test_the_evident_set_is_the_one_that_is_found(kind, monkeypatch):
    seen = 0
    for seed in range(60):
        recipe, lots = roomy(random.Random(f"evident {kind} {seed}"), kind)
        evident = evident_set(recipe, lots)
        seen += evident is not None
        stock = random.Random(seed).choice((None, {}, {"tube": 9}))
        asked = recipe
        if stock is not None:
            asked = replace(recipe, companions=(Companion("tube"),))
        told = choose(asked, lots, companions_stock=stock)
        assert told == by_search(monkeypatch, asked, lots, companions_stock=stock)
        if evident is not None and stock != {}:
            assert told.chosen == evident
    if kind in ("pair", "block", "four", "staggered"):
        assert seen > 2


def test_a_lot_that_is_enough_and_the_oldest_is_the_set():
    young = Lot("young", "A", 11, 8)
    assert evident_set(FOUR, [young, OLD]).by_lot() == {"old": 4}
    newest = replace(FOUR, prefer=Prefer.NEWEST)
    assert evident_set(newest, [young, OLD]).by_lot() == {"young": 4}


@pytest.mark.parametrize(
    "lots",
    [
        [],
        [replace(OLD, quantity=3), Lot("young", "A", 11, 8)],
        [OLD, Lot("other", "A", 10, 4)],  # as old: which one, the way round the racks decides
        [OLD, Lot("undated", "A", None, 4)],
        [replace(OLD, side="left")],
        [Lot("other", "B", 10, 4)],
    ],
)
def test_where_it_is_not_plain_it_is_sought(lots):
    assert evident_set(FOUR, lots) is None


@pytest.mark.parametrize(
    "recipe",
    [
        Recipe((TWO[0], RecipePlace("rear", ("B",), 2)), car_tolerance_weeks=30),
        Recipe((TWO[0], RecipePlace("rear", ("B",), 2)), mark=Match.CAR),
        Recipe((RecipePlace("front", ("A", "B"), 2),)),
        Recipe((RecipePlace("front", ("A",), left=1, right=1),)),
        Recipe((TWO[0], RecipePlace("spare", ("B",), 1, joins="front"))),
        Recipe((replace(TWO[0], same_delivery=True),)),
    ],
)
def test_what_is_asked_of_tyres_together_has_to_be_sought(recipe):
    assert evident_set(recipe, [OLD, Lot("b", "B", 10, 4)]) is None


def test_a_younger_set_that_saves_places_is_sought(monkeypatch):
    lots = [
        Lot("a", "A", 10, 2, place="x", walk=1),
        Lot("b", "B", 11, 2, place="y", walk=2),
        Lot("c", "B", 12, 2, place="x", walk=1),
    ]
    recipe = Recipe((TWO[0], RecipePlace("rear", ("B",), 2)))
    assert choose(recipe, lots).chosen.by_lot() == {"a": 2, "b": 2}
    assert choose(recipe, lots, slack_weeks=4).chosen.by_lot() == {"a": 2, "c": 2}
