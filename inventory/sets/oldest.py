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
from inventory.sets.layouts import AxleShape, Layout, layouts
from inventory.sets.stream import Stream
from inventory.sets.tree import Axle, Cluster, Option, Served, SetPlan


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

    def consider(self, weeks: int, plan: SetPlan) -> None:
        if self.weeks is None or weeks < self.weeks:
            self.weeks = weeks
            self.plans.clear()
        if weeks == self.weeks:
            self.plans.setdefault(_demand(plan), plan)


Ranked = list[tuple[int, int, Option]]
Localised = tuple[tuple[AxleShape, ...], list[int]]


def localise(axles: Sequence[Axle], chosen: Sequence[Option]) -> Localised:
    """Shapes with streams numbered from 0 as they come, so that layouts are shared, and which."""
    local: dict[int, int] = {}
    shapes = tuple(
        axle.shape(
            tuple((local.setdefault(stream, len(local)), count) for stream, count in option.needs)
        )
        for axle, option in zip(axles, chosen, strict=True)
    )
    return shapes, list(local)


def oldest(cluster: Cluster, streams: Sequence[Stream]) -> Oldest | None:
    """The oldest sets of a cluster; None if it has none."""
    ranked = [_ranked(axle, streams) for axle in cluster.axles]
    if not all(ranked):
        return None
    search = _Search()
    for chosen in _choices(cluster, ranked, search):
        for weeks, plan in _least_sets(cluster, chosen, streams):
            search.consider(weeks, plan)
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


def _ranked(axle: Axle, streams: Sequence[Stream]) -> Ranked:
    """(least sum of weeks by itself, number, option), the oldest first."""
    alone = Cluster((axle,), None)
    ranked = []
    for number, option in enumerate(axle.options):
        for weeks, _ in _least_sets(alone, (option,), streams):
            ranked.append((weeks, number, option))
    return sorted(ranked, key=lambda entry: entry[:2])


def _least_sets(
    cluster: Cluster, chosen: Sequence[Option], streams: Sequence[Stream]
) -> Iterator[tuple[int, SetPlan]]:
    shapes, ids = localise(cluster.axles, chosen)
    local = [streams[stream] for stream in ids]
    for layout in layouts(shapes, cluster.width):
        first = least(layout, local)
        if first is not None:
            plan = plan_of(layout, local, ids, chosen, first)
            yield weeks_of(plan), plan


def plan_of(
    layout: Layout,
    local: Sequence[Stream],
    ids: Sequence[int],
    chosen: Sequence[Option],
    first: Sequence[int],
) -> SetPlan:
    """The set that starts its blocks at these tyres."""
    takes: list[list[tuple[int, int, int]]] = [[] for _ in chosen]
    for block, start in enumerate(first):
        stream = layout.streams[block]
        for week, count in local[stream].takes(start, layout.sizes[block]):
            takes[layout.axles[block]].append((ids[stream], week, count))
    return tuple(Served(option, tuple(taken)) for option, taken in zip(chosen, takes, strict=True))


def weeks_of(plan: SetPlan) -> int:
    """Sum of the weeks of a set's tyres."""
    return sum(week * count for served in plan for _, week, count in served.takes)


def _demand(plan: SetPlan) -> frozenset[tuple[int, int, int]]:
    """What a set takes from the shelf, whatever goes on which axle."""
    total: dict[tuple[int, int], int] = {}
    for served in plan:
        for stream, week, count in served.takes:
            total[stream, week] = total.get((stream, week), 0) + count
    return frozenset((stream, week, count) for (stream, week), count in total.items())
