"""Marching along the streams of a cluster, and axles counted by themselves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain, repeat

from inventory.sets.lattice import march
from inventory.sets.layouts import layouts
from inventory.sets.oldest import localise, plan_of
from inventory.sets.stream import Stream
from inventory.sets.sweep import count_blocks
from inventory.sets.tree import Axle, Cluster, Option, SetPlan

Runs = list[tuple[int, SetPlan]]
"""(times, set): the same weeks so many times over."""


def marched(cluster: Cluster, chosen: Sequence[Option], streams: Sequence[Stream]) -> Runs:
    """The most sets with one option for each axle; axles that share a stream have to be alike."""
    shapes, ids = localise(cluster.axles, chosen)
    local = [streams[stream] for stream in ids]
    (layout,) = layouts(shapes, cluster.width)
    return [
        (times, plan_of(layout, local, ids, chosen, first)) for times, first in march(layout, local)
    ]


def count_alone(axle: Axle, option: Option, streams: Sequence[Stream]) -> int:
    """How many times over the axle can be served by that option, were it the only one."""
    if len(option.needs) == 1 and axle.earliest is None and axle.latest is None:
        stream, size = option.needs[0]
        return count_blocks(streams[stream], size, axle.tolerance)
    runs = marched(Cluster((axle,), None), [option], streams)
    return sum(times for times, _ in runs)


def alike(axles: Sequence[Axle]) -> bool:
    """Whether all have the same tolerance, the same bounds and the same options."""
    return all(axle == axles[0] for axle in axles)


def disjoint(options: Sequence[Option]) -> bool:
    """Whether no two options draw on one stream."""
    used = [stream for option in options for stream, _ in option.needs]
    return len(used) == len(set(used))


def unrolled(runs: Runs) -> Iterator[SetPlan]:
    """The sets one by one."""
    return chain.from_iterable(repeat(plan, times) for times, plan in runs)
