"""Reasons found by quick counts are those found by building every problem."""

from __future__ import annotations

from dataclasses import replace

import pytest

from inventory.sets import promise, reasons
from inventory.sets.pieces import sets_by_pieces, sets_by_place
from inventory.sets.promise import count_sets
from inventory.sets.quick import count_quickly
from inventory.sets.reasons import _short_places, _stages, explain
from inventory.sets.structure import problem
from inventory.sets.whole import count_all
from tests.sets.cases import KINDS, small_case


def plainly(recipe, lots, sets):
    """Every stage counted from its own problem, none passed over."""
    lots = [lot for lot in lots if lot.quantity > 0]
    if 0 < sets == max(sets_by_place(recipe, lots).values()):
        return ""
    said = list(_short_places(recipe, lots))
    before = sets_by_pieces(recipe, lots)
    for bare, shelf, words in _stages(recipe, lots):
        if before <= sets:
            break
        after = max(sets, count_all(problem(bare, shelf), proof=False)[0])
        if after < before:
            said.append(words(recipe, lots))
            before = after
    return "; ".join(said)


@pytest.mark.parametrize("kind", KINDS)
def test_reasons_are_those_of_the_long_way(kind):
    said = set()
    for seed in range(30):
        recipe, lots = small_case(kind, f"why {seed}")
        found = promise(recipe, lots)
        assert found.reason == explain(recipe, lots, found.sets, None)
        assert found.reason == plainly(recipe, lots, found.sets)
        counted = count_sets(recipe, lots)
        assert (counted.sets, counted.bound) == (found.sets, found.bound)
        said.add(found.reason)
    assert len(said) > 3


@pytest.mark.parametrize("kind", KINDS)
def test_a_rule_that_every_lot_keeps_is_not_counted_and_changes_nothing(kind, monkeypatch):
    told = []
    for same in (reasons._alike, lambda shelf, name: False):
        monkeypatch.setattr(reasons, "_alike", same)
        told.append([_told_with_one_value(kind, seed) for seed in range(15)])
    assert told[0] == told[1]
    assert len(set(told[0])) > 3


def _told_with_one_value(kind, seed):
    """The reason where every lot says the same of one thing or another."""
    recipe, lots = small_case(kind, f"alike {seed}")
    name = reasons.MOULDED[seed % 3]
    lots = [replace(lot, **{name: "the same"}) for lot in lots]
    return explain(recipe, lots, count_sets(recipe, lots).sets, None)


@pytest.mark.parametrize("kind", KINDS)
def test_the_short_count_is_the_long_one(kind):
    for seed in range(30):
        recipe, lots = small_case(kind, f"short {seed}")
        usual = count_all(problem(recipe, lots), proof=False)
        assert count_quickly(recipe, lots) == usual
