"""How many sets a cluster holds: marching where that settles it, otherwise between two bounds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from inventory.sets.between import most
from inventory.sets.layouts import uniform
from inventory.sets.marching import (
    Runs,
    count_alone,
    count_marched,
    disjoint,
    marched,
    unrolled,
)
from inventory.sets.serving import Serving, serving, weeks_of
from inventory.sets.stream import Stream
from inventory.sets.tree import Axle, Cluster, Served, SetPlan


@dataclass(frozen=True, slots=True)
class Tally:
    """sets: how many were found; bound: no more than this many exist; runs: the sets."""

    sets: int
    bound: int
    runs: Runs


def tally(cluster: Cluster, streams: Sequence[Stream], proof: bool) -> Tally:
    """The most sets that a cluster holds.

    proof: False to leave it at the quick bounds where they do not meet.

    Settled are: one option for each axle, where axles that share stock are alike (see `lattice`);
    and axles that are alike in everything, with options that share nothing and no tolerance round
    the car: there the axles are counted option by option and dealt out.
    """
    axles = cluster.axles
    how = _only_way(cluster)
    if how is not None:
        return _settled(marched(how, cluster.width, streams))
    if _additive(cluster):
        ways = [serving(axles[:1], (option,)) for option in axles[0].options]
        return _settled(
            _joined([run for way in ways for run in marched(way, None, streams)], axles)
        )
    return Tally(*most(cluster, streams, proof))


def count(cluster: Cluster, streams: Sequence[Stream], proof: bool) -> tuple[int, int]:
    """Sets and bound of a `tally`, without making the sets where they need not be made."""
    axles = cluster.axles
    if _additive(cluster):
        alone = sum(count_alone(axles[0], option, streams) for option in axles[0].options)
        return alone // len(axles), alone // len(axles)
    how = _only_way(cluster)
    if how is not None:
        found = count_marched(how, cluster.width, streams)
        return found, found
    return most(cluster, streams, proof)[:2]


def _only_way(cluster: Cluster) -> Serving | None:
    """The only choice of options, if it can be marched."""
    if any(len(axle.options) > 1 for axle in cluster.axles):
        return None
    how = serving(cluster.axles, [axle.options[0] for axle in cluster.axles])
    return how if uniform(how.shapes) else None


def _additive(cluster: Cluster) -> bool:
    axles = cluster.axles
    alike = all(axle == axles[0] for axle in axles[1:])
    return cluster.width is None and alike and disjoint(axles[0].options)


def _settled(runs: Runs) -> Tally:
    sets = sum(times for times, _ in runs)
    return Tally(sets, sets, runs)


def _joined(runs: Runs, axles: Sequence[Axle]) -> Runs:
    """Sets of these axles out of sets of one of them, the oldest together."""
    if len(axles) == 1:
        return runs
    single = sorted(unrolled(runs), key=weeks_of)
    size = len(axles)
    return [
        (1, _stood_in(axles, [served for (served,) in single[start : start + size]]))
        for start in range(0, len(single) - size + 1, size)
    ]


def _stood_in(axles: Sequence[Axle], served: Sequence[Served]) -> SetPlan:
    return tuple(
        replace(entry, places=axle.places) for axle, entry in zip(axles, served, strict=True)
    )
