"""The oldest valid set: the least sum of weeks (mirrored where the newest leaves first).

For one option per axle and one layout the least valid set is the oldest, and no other set of that
layout has the same sum. So the oldest set of a cluster is found among the least sets of all
choices of options and layouts; a choice is not looked at when its axles, each by itself, already
add up to more than the best so far.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from inventory.sets.lattice import least
from inventory.sets.layouts import layouts
from inventory.sets.serving import serving, weeks_of
from inventory.sets.stream import Stream
from inventory.sets.tree import Axle, Cluster, Option, SetPlan

Ranked = list[tuple[int, int, Option]]


@dataclass(slots=True)
class Oldest:
    """The least sum found, and every set that has it, one for each different use of the stock."""

    weeks: int
    plans: list[SetPlan]


@dataclass(slots=True)
class _Search:
    """The best so far."""

    weeks: int | None = None
    plans: dict[frozenset[tuple[int, int, int]], SetPlan] = field(default_factory=dict)

    def consider(self, plan: SetPlan) -> None:
        weeks = weeks_of(plan)
        if self.weeks is None or weeks < self.weeks:
            self.weeks = weeks
            self.plans.clear()
        if weeks == self.weeks:
            self.plans.setdefault(_demand(plan), plan)


def oldest(
    cluster: Cluster, streams: Sequence[Stream], starts: Sequence[int] | None = None
) -> Oldest | None:
    """The oldest sets of a cluster, tyres before `starts` left out; None if it has none."""
    if len(cluster.axles) == 1:
        return _of_one_axle(cluster, streams, starts)
    by_axle = {axle: _ranked(axle, streams, starts) for axle in dict.fromkeys(cluster.axles)}
    if not all(by_axle.values()):
        return None
    search = _Search()
    for chosen in _choices(cluster, [by_axle[axle] for axle in cluster.axles], search):
        for plan in _least_sets(cluster, chosen, streams, starts):
            search.consider(plan)
    return None if search.weeks is None else Oldest(search.weeks, list(search.plans.values()))


def _of_one_axle(
    cluster: Cluster, streams: Sequence[Stream], starts: Sequence[int] | None
) -> Oldest | None:
    """The same of one axle: what its options come to by themselves is all there is to look at."""
    search = _Search()
    for option in cluster.axles[0].options:
        for plan in _least_sets(cluster, (option,), streams, starts):
            search.consider(plan)
    return None if search.weeks is None else Oldest(search.weeks, list(search.plans.values()))


def _choices(
    cluster: Cluster, ranked: Sequence[Ranked], search: _Search
) -> Iterator[tuple[Option, ...]]:
    """An option for each axle, the most promising first, while it can still equal the best.

    Axles that are alike take theirs in one order only.
    """
    axles = cluster.axles
    least_rest = [0]
    for entries in reversed(ranked):
        least_rest.insert(0, least_rest[0] + entries[0][0])
    twin_of = [
        next((other for other in range(number - 1, -1, -1) if axles[other] == axle), None)
        for number, axle in enumerate(axles)
    ]

    def extended(number: int, weeks: int, taken: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
        if number == len(axles):
            yield taken
            return
        twin = twin_of[number]
        for place in range(taken[twin] if twin is not None else 0, len(ranked[number])):
            total = weeks + ranked[number][place][0]
            if search.weeks is not None and total + least_rest[number + 1] > search.weeks:
                return
            yield from extended(number + 1, total, (*taken, place))

    for taken in extended(0, 0, ()):
        yield tuple(entries[place][2] for entries, place in zip(ranked, taken, strict=True))


def _ranked(axle: Axle, streams: Sequence[Stream], starts: Sequence[int] | None) -> Ranked:
    """(least sum of weeks by itself, number, option), the oldest first."""
    alone = Cluster((axle,), None)
    ranked = [
        (weeks_of(plan), number, option)
        for number, option in enumerate(axle.options)
        for plan in _least_sets(alone, (option,), streams, starts)
    ]
    return sorted(ranked, key=lambda entry: entry[:2])


def _least_sets(
    cluster: Cluster,
    chosen: Sequence[Option],
    streams: Sequence[Stream],
    starts: Sequence[int] | None,
) -> Iterator[SetPlan]:
    how = serving(cluster.axles, chosen)
    local = how.local(streams)
    behind = None if starts is None else [starts[stream] for stream in how.ids]
    for layout in layouts(how.shapes, cluster.width):
        first = least(layout, local, behind)
        if first is not None:
            yield how.plan(layout, local, first)


def _demand(plan: SetPlan) -> frozenset[tuple[int, int, int]]:
    """What a set takes from the shelf, whatever goes on which axle."""
    total: dict[tuple[int, int], int] = {}
    for served in plan:
        for stream, week, count in served.takes:
            total[stream, week] = total.get((stream, week), 0) + count
    return frozenset((stream, week, count) for (stream, week), count in total.items())
