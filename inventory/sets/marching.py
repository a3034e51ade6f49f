"""Marching along the streams of a cluster, and axles counted by themselves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain, repeat

from inventory.sets.lattice import march
from inventory.sets.layouts import layouts
from inventory.sets.serving import Serving, serving
from inventory.sets.stream import Stream
from inventory.sets.sweep import count_blocks
from inventory.sets.tree import Axle, Option, SetPlan

Runs = list[tuple[int, SetPlan]]
"""(times, set): the same weeks so many times over."""


def marched(how: Serving, width: int | None, streams: Sequence[Stream]) -> Runs:
    """The most sets with one option for each axle; axles that share a stream have to be alike."""
    (layout,) = layouts(how.shapes, width)
    local = how.local(streams)
    return [(times, how.plan(layout, local, first)) for times, first in march(layout, local)]


def count_marched(how: Serving, width: int | None, streams: Sequence[Stream]) -> int:
    """How many sets `marched` makes."""
    (layout,) = layouts(how.shapes, width)
    if width is None and len(layout.sizes) == 1 and not layout.bounds:
        tolerance = layout.spans[0][0] if layout.spans else None
        return count_blocks(streams[how.ids[0]], layout.sizes[0], tolerance)
    return sum(times for times, _ in march(layout, how.local(streams)))


def count_alone(axle: Axle, option: Option, streams: Sequence[Stream]) -> int:
    """How many times over the axle can be served by that option, were it the only one."""
    return count_marched(serving((axle,), (option,)), None, streams)


def disjoint(options: Sequence[Option]) -> bool:
    """Whether no two options draw on one stream."""
    if len(options) == 1:
        return True
    used = [stream for option in options for stream, _ in option.needs]
    return len(used) == len(set(used))


def unrolled(runs: Runs) -> Iterator[SetPlan]:
    """The sets one by one."""
    return chain.from_iterable(repeat(plan, times) for times, plan in runs)
