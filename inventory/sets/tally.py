"""How many sets a cluster holds: marching where that settles it, otherwise between two bounds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inventory.sets.between import most
from inventory.sets.layouts import uniform
from inventory.sets.marching import Runs, alike, count_alone, disjoint, marched, unrolled
from inventory.sets.oldest import localise, weeks_of
from inventory.sets.stream import Stream
from inventory.sets.tree import Cluster


@dataclass(frozen=True, slots=True)
class Tally:
    """sets: how many were found; bound: no more than this many exist; runs: the sets."""

    sets: int
    bound: int
    runs: Runs


def tally(cluster: Cluster, streams: Sequence[Stream], proof: bool = True) -> Tally:
    """The most sets that a cluster holds; without proof it is not asked beyond the quick bounds.

    Settled are: one option for each axle, where axles that share stock are alike (see `lattice`);
    and axles that are alike in everything, with options that share nothing and no tolerance round
    the car: there the axles are counted option by option and dealt out.
    """
    axles = cluster.axles
    if all(len(axle.options) == 1 for axle in axles):
        chosen = [axle.options[0] for axle in axles]
        if uniform(localise(axles, chosen)[0]):
            return _settled(marched(cluster, chosen, streams))
    if _additive(cluster):
        alone = Cluster(axles[:1], None)
        runs = [run for option in axles[0].options for run in marched(alone, [option], streams)]
        return _settled(_joined(runs, len(axles)))
    return Tally(*most(cluster, streams, proof))


def count(cluster: Cluster, streams: Sequence[Stream], proof: bool = True) -> tuple[int, int]:
    """Sets and bound of a `tally`, without making the sets where they need not be made."""
    axles = cluster.axles
    if _additive(cluster):
        number = sum(count_alone(axles[0], option, streams) for option in axles[0].options)
        return number // len(axles), number // len(axles)
    found = tally(cluster, streams, proof)
    return found.sets, found.bound


def _additive(cluster: Cluster) -> bool:
    axles = cluster.axles
    return cluster.width is None and alike(axles) and disjoint(axles[0].options)


def _settled(runs: Runs) -> Tally:
    sets = sum(times for times, _ in runs)
    return Tally(sets, sets, runs)


def _joined(runs: Runs, axles: int) -> Runs:
    """Sets of so many axles out of sets of one, the oldest together."""
    if axles == 1:
        return runs
    single = sorted(unrolled(runs), key=weeks_of)
    return [
        (1, tuple(served for plan in single[start : start + axles] for served in plan))
        for start in range(0, len(single) - axles + 1, axles)
    ]
