"""Promises and choices against exhaustive search, on random small shelves of every kind.

17 kinds of recipe, 200 shelves each: 3,400 promises and as many choices.
"""

from __future__ import annotations

from collections import Counter

import pytest

from inventory.sets import Count, check_set, choose, count_sets, promise
from tests.sets.brute import Brute
from tests.sets.cases import KINDS, small_case
from tests.support.drawing import times

SHELVES = times(200)


def cases(kind: str):
    for seed in range(SHELVES):
        recipe, lots = small_case(kind, seed)
        yield seed, recipe, lots, Brute(recipe, lots)


@pytest.mark.parametrize("kind", KINDS)
def test_promise_and_choice_are_what_exhaustive_search_finds(kind):
    some = 0
    for seed, recipe, lots, brute in cases(kind):
        most = brute.most()
        some += most > 0
        found = promise(recipe, lots)
        assert (found.sets, found.bound) == (most, most), (kind, seed)
        assert count_sets(recipe, lots) == Count(most, most), (kind, seed)
        _sets_can_all_leave(recipe, lots, found)
        assert found.reason or found.sets >= found.naive > 0, (kind, seed)
        _choice_is_the_best(recipe, lots, brute, (kind, seed))
    assert some > SHELVES / 12  # the kind is not all empty answers


def _sets_can_all_leave(recipe, lots, found):
    """Each set passes the judge, no tyre is in two of them, and the rest is said to be left."""
    used = Counter()
    for block in found.blocks:
        assert check_set(recipe, block.by_place(), lots) == []
        used.update(block.by_lot())
    left, excluded = dict(found.left_over), dict(found.excluded)
    skus = {sku for place in recipe.places for sku in place.skus}
    for lot in lots:
        assert used[lot.key] <= lot.quantity
        if lot.sku in skus and lot.key not in excluded:
            assert left.get(lot.key, 0) == lot.quantity - used[lot.key]
        if lot.key in excluded:
            assert used[lot.key] == 0
            assert excluded[lot.key]


def _choice_is_the_best(recipe, lots, brute, which):
    chosen = choose(recipe, lots)
    best = brute.best()
    if best is None:
        assert not chosen, which
        assert chosen.reason, which
        return
    number = brute.of(chosen.chosen.by_lot())
    assert number in brute.sets, which
    assert brute.rank(number) == best, which
    assert check_set(recipe, chosen.chosen.by_place(), lots) == [], which


def test_the_random_shelves_hold_several_sets_often_enough():
    most = [
        brute.most()
        for kind in ("pair", "four", "spare_joined", "unlike_axles")
        for _, _, _, brute in cases(kind)
    ]
    assert sum(number >= 2 for number in most) > SHELVES * 5 / 6
