"""The least valid set: start with the oldest tyres, raise the smallest offender until valid.

For one layout a set is a vector of tyre numbers, one per block, and every rule says either "at
least this far along" or "no more than so many weeks older than that one". Such rules survive taking
the smaller (or the larger) of two valid sets block by block, so there is a least valid set, no
newer than any other in any block. Raising what is too old to the first tyre that could do never
passes it, so the raising ends at it, or past the end of a stream where there is none.

Marching: take the least set, go on behind it, repeat. Where axles sharing a stream are alike this
gives as many sets as there can be. N disjoint sets can be re-dealt along all streams at once into
consecutive runs: were the m-th too wide between two blocks, at least N - m + 1 of the sets would
hold a tyre as new as its newest and m one as old as its oldest, so some set would hold both. The
least set ends no later than the first run on every stream, so the other N - 1 runs are still there.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from inventory.sets.layouts import Layout
from inventory.sets.stream import Stream


def least(
    layout: Layout, streams: Sequence[Stream], starts: Sequence[int] | None = None
) -> list[int] | None:
    """First tyre of each block in the least valid set, from `starts` on; None if there is none."""
    first = [0] * len(layout.sizes)
    for block, earliest, _ in layout.bounds:
        if earliest is not None:
            first[block] = streams[layout.streams[block]].first_from(earliest)
    while _put_in_order(layout, streams, starts, first):
        if not _raised(layout, streams, first):
            return first if _in_time(layout, streams, first) else None
    return None


def march(
    layout: Layout, streams: Sequence[Stream], starts: Sequence[int] | None = None
) -> Iterator[tuple[int, list[int]]]:
    """(times, least set) again and again, each behind the one before.

    times: how often that set follows upon itself within the same weeks, so that the work goes with
    the number of lots and not of tyres.
    """
    behind = list(starts) if starts else [0] * len(streams)
    while (first := least(layout, streams, behind)) is not None:
        times = _times(layout, streams, first)
        yield times, first
        for stream, blocks in layout.chains:
            size = sum(layout.sizes[block] for block in blocks)
            last = blocks[-1]
            behind[stream] = first[last] + layout.sizes[last] + (times - 1) * size


def _put_in_order(
    layout: Layout, streams: Sequence[Stream], starts: Sequence[int] | None, first: list[int]
) -> bool:
    """Move blocks on so that none overlap; False when a stream is too short for that."""
    sizes = layout.sizes
    for stream, blocks in layout.chains:
        free = starts[stream] if starts else 0
        for block in blocks:
            if first[block] < free:
                first[block] = free
            free = first[block] + sizes[block]
        if free > streams[stream].total:
            return False
    return True


def _raised(layout: Layout, streams: Sequence[Stream], first: list[int]) -> bool:
    """Move blocks on that are too old beside the newest of their span; whether any moved."""
    moved = False
    for width, blocks in layout.spans:
        newest = max(
            streams[layout.streams[block]].week(first[block] + layout.sizes[block] - 1)
            for block in blocks
        )
        for block in blocks:
            stream = streams[layout.streams[block]]
            if stream.week(first[block]) < newest - width:
                first[block] = stream.first_from(newest - width)
                moved = True
        if moved:
            return True
    return False


def _in_time(layout: Layout, streams: Sequence[Stream], first: list[int]) -> bool:
    return all(
        latest is None
        or streams[layout.streams[block]].week(first[block] + layout.sizes[block] - 1) <= latest
        for block, _, latest in layout.bounds
    )


def _times(layout: Layout, streams: Sequence[Stream], first: list[int]) -> int:
    times: int | None = None
    for stream, blocks in layout.chains:
        size = sum(layout.sizes[block] for block in blocks)
        start = first[blocks[0]]
        if first[blocks[-1]] + layout.sizes[blocks[-1]] - start > size:
            return 1
        here = streams[stream].run_length(start) // size
        times = here if times is None else min(times, here)
    return max(times or 1, 1)
