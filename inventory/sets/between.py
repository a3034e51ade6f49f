"""Where marching does not settle it: sets that exist, a bound on those that can, and the gap.

This is so with several options for an axle (marks on the axle, SKUs) and a tolerance round the
car, and with axles that share stock but are not alike. The shelf is first cut into spells that no
set can bridge. In each, taking the oldest set again and again gives sets that exist, and leaving
out part of the rules gives a bound. Mostly the two meet; where they do not, an integer program
decides.
"""

from __future__ import annotations

from collections.abc import Sequence

from inventory.sets.lattice import march
from inventory.sets.layouts import AxleShape, layouts
from inventory.sets.marching import Runs, count_alone
from inventory.sets.oldest import oldest
from inventory.sets.program import solve
from inventory.sets.spells import spells
from inventory.sets.stream import Stream
from inventory.sets.tree import Axle, Cluster, SetPlan


def most(cluster: Cluster, streams: Sequence[Stream], proof: bool) -> tuple[int, int, Runs]:
    """(sets found, bound, the sets)."""
    sets = bound = 0
    runs: Runs = []
    for part in spells(cluster, streams):
        here, at_most, some = _most_in(cluster, part, proof)
        sets, bound, runs = sets + here, bound + at_most, runs + some
    return sets, bound, runs


def _most_in(cluster: Cluster, streams: Sequence[Stream], proof: bool) -> tuple[int, int, Runs]:
    bound = upper_bound(cluster, streams)
    runs = raced(cluster, streams, bound)
    sets = sum(times for times, _ in runs)
    if sets < bound and proof:
        better, bound = solve(cluster, streams, sets, bound)
        if len(better) > sets:
            return len(better), bound, [(1, plan) for plan in better]
    return sets, bound, runs


def raced(cluster: Cluster, streams: Sequence[Stream], enough: int) -> Runs:
    """The oldest set, and again from what is behind it, until there is none or there are enough.

    While every week of the set has tyres enough for it to be repeated it stays the oldest, since
    the others can only get scarcer.
    """
    starts = [0] * len(streams)
    runs: Runs = []
    while enough > 0 and (found := oldest(cluster, streams, starts)) is not None:
        taken = _taken(found.plans[0])
        times = enough
        for stream, weeks in taken.items():
            last = max(weeks)
            starts[stream] = max(starts[stream], streams[stream].first_from(last))
            here = streams[stream].run_length(starts[stream]) // weeks[last]
            times = min(times, here if len(weeks) == 1 else 1)
        for stream, weeks in taken.items():
            starts[stream] += weeks[max(weeks)] * times
        runs.append((times, found.plans[0]))
        enough -= times
    return runs


def _taken(plan: SetPlan) -> dict[int, dict[int, int]]:
    taken: dict[int, dict[int, int]] = {}
    for served in plan:
        for stream, week, number in served.takes:
            weeks = taken.setdefault(stream, {})
            weeks[week] = weeks.get(week, 0) + number
    return taken


def upper_bound(cluster: Cluster, streams: Sequence[Stream]) -> int:
    """No more sets than this exist: the least over several ways of leaving rules out."""
    axles = cluster.axles
    bound = _mixed(cluster, streams)
    for axle in dict.fromkeys(axles):
        alone = sum(count_alone(axle, option, streams) for option in axle.options)
        bound = min(bound, alone // axles.count(axle))
    return bound


def _mixed(cluster: Cluster, streams: Sequence[Stream]) -> int:
    """The count with options mixed freely: one stream for all axles that share stock."""
    shapes: list[AxleShape] = []
    pooled: list[Stream] = []
    for axles, pool in sharing(cluster.axles):
        sizes = [sum(count for _, count in axle.options[0].needs) for axle in axles]
        kinds = {(axle.tolerance, axle.earliest, axle.latest) for axle in axles}
        local = len(pooled)
        pooled.append(Stream(cell for stream in sorted(pool) for cell in streams[stream].cells()))
        if len(kinds) == len(set(sizes)) == 1:
            shapes += [
                AxleShape(axle.tolerance, axle.earliest, axle.latest, ((local, size),))
                for axle, size in zip(axles, sizes, strict=True)
            ]

        else:
            shapes.append(AxleShape(cluster.width, None, None, ((local, sum(sizes)),)))
    (layout,) = layouts(tuple(shapes), cluster.width)
    return sum(times for times, _ in march(layout, pooled))


def sharing(axles: Sequence[Axle]) -> list[tuple[list[Axle], set[int]]]:
    """Axles in groups that draw on common streams, with those streams."""
    groups: list[tuple[list[Axle], set[int]]] = []
    for axle in axles:
        members, pool = [axle], {stream for opt in axle.options for stream, _ in opt.needs}
        apart = []
        for group in groups:
            if group[1] & pool:
                members = group[0] + members
                pool |= group[1]
            else:
                apart.append(group)
        groups = [*apart, (members, pool)]
    return groups
