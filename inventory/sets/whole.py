"""The whole question from its clusters: counts, sets, and the oldest set with its equals."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import islice, product

from inventory.sets.marching import unrolled
from inventory.sets.oldest import Oldest, oldest
from inventory.sets.stream import Stream
from inventory.sets.tally import count, tally
from inventory.sets.tree import Case, Part, Problem, SetPlan

MOST_EQUALS = 256
"""So many sets of the same age are compared for places; beyond that the first ones are."""


def count_all(problem: Problem, proof: bool = True) -> tuple[int, int]:
    """(sets, bound) of the whole recipe, companions left aside."""
    sets = bounds = None
    for part in problem.parts:
        here = [_count_case(case, problem.streams, proof) for case in part]
        found, bound = sum(one for one, _ in here), sum(other for _, other in here)
        sets = found if sets is None else min(sets, found)
        bounds = bound if bounds is None else min(bounds, bound)
    return sets or 0, bounds or 0


def _count_case(case: Case, streams: Sequence[Stream], proof: bool) -> tuple[int, int]:
    counts = [count(cluster, streams, proof) for cluster in case]
    return min(sets for sets, _ in counts), min(bound for _, bound in counts)


def all_sets(problem: Problem, proof: bool) -> tuple[list[SetPlan], int]:
    """(as many sets as were found, no more than so many exist)."""
    parts = [_part_sets(part, problem.streams, proof) for part in problem.parts]
    return _together([sets for sets, _ in parts]), min(bound for _, bound in parts)


def _part_sets(part: Part, streams: Sequence[Stream], proof: bool) -> tuple[list[SetPlan], int]:
    sets: list[SetPlan] = []
    bound = 0
    for case in part:
        tallies = [tally(cluster, streams, proof) for cluster in case]
        sets += _together([list(unrolled(entry.runs)) for entry in tallies])
        bound += min(entry.bound for entry in tallies)
    return sets, bound


def _together(parts: Sequence[list[SetPlan]]) -> list[SetPlan]:
    return [
        tuple(served for plan in plans for served in plan) for plans in zip(*parts, strict=False)
    ]


def oldest_of_all(problem: Problem) -> Oldest | None:
    """The oldest set of the whole recipe, with others of the same sum of weeks."""
    parts = []
    for part in problem.parts:
        cases = [found for case in part if (found := _oldest_case(case, problem.streams))]
        if not cases:
            return None
        least = min(found.weeks for found in cases)
        equals = [plan for found in cases if found.weeks == least for plan in found.plans]
        parts.append(Oldest(least, equals))
    return _all_of(parts)


def _oldest_case(case: Case, streams: Sequence[Stream]) -> Oldest | None:
    found = [oldest(cluster, streams) for cluster in case]
    here = [entry for entry in found if entry is not None]
    return _all_of(here) if len(here) == len(case) else None


def _all_of(parts: Sequence[Oldest]) -> Oldest:
    choices = product(*(entry.plans for entry in parts))
    plans = [
        tuple(served for plan in plans for served in plan) for plans in islice(choices, MOST_EQUALS)
    ]
    return Oldest(sum(entry.weeks for entry in parts), plans)
