"""Somewhat younger tyres where that saves walking."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations, islice

from inventory.sets.dealing import Shelf
from inventory.sets.places import Stop, fewest_places
from inventory.sets.stream import Stream
from inventory.sets.tree import Problem, SetPlan
from inventory.sets.whole import oldest_of_all

MOST_TRIES = 500
"""So many groups of places are tried, in walking order; a shelf with more may miss a saving."""


def younger_in_fewer_places(
    problem: Problem, places: int, limit: int
) -> tuple[SetPlan, Shelf, list[Stop]] | None:
    """A set from fewer places than that with a sum of weeks of at most `limit`, or None.

    The fewest places win, then the oldest tyres, then the first places in walking order.
    """
    tries = _groups(problem, places)
    best: tuple[int, int, list[Stop], SetPlan, Shelf] | None = None
    for group in islice(tries, MOST_TRIES):
        if best is not None and len(group) > best[0]:
            break
        small = _only(problem, set(group))
        found = oldest_of_all(small)
        if found is None or found.weeks > limit:
            continue
        plan, shelf, stops = fewest_places(small, found.plans)
        if best is None or (len(group), found.weeks, stops) < best[:3]:
            best = len(group), found.weeks, stops, plan, shelf
    return None if best is None else (best[3], best[4], best[2])


def _groups(problem: Problem, places: int) -> Iterator[Sequence[Stop]]:
    """Groups of fewer places, the smallest groups first, that hold tyres enough for every axle."""
    held: dict[Stop, set[int]] = {}
    for stream, lots in enumerate(problem.lots_of):
        for lot in lots:
            held.setdefault((lot.walk, lot.place), set()).add(stream)
    for size in range(1, places):
        for group in combinations(sorted(held), size):
            streams = set().union(*(held[stop] for stop in group))
            if _may_serve(problem, streams):
                yield group


def _may_serve(problem: Problem, streams: set[int]) -> bool:
    """Whether each part has a case whose axles all have an option on these streams."""
    return all(
        any(
            all(
                any(all(need in streams for need, _ in option.needs) for option in axle.options)
                for cluster in case
                for axle in cluster.axles
            )
            for case in part
        )
        for part in problem.parts
    )


def _only(problem: Problem, stops: set[Stop]) -> Problem:
    lots_of = [[lot for lot in lots if (lot.walk, lot.place) in stops] for lots in problem.lots_of]
    streams = [Stream((problem.week(lot), lot.quantity) for lot in lots) for lots in lots_of]
    return replace(problem, streams=streams, lots_of=lots_of)
