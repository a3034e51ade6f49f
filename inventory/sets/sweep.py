"""Sets of one axle drawn from one stream: a single sweep, oldest to newest."""

from __future__ import annotations

from inventory.sets.stream import Stream


def count_blocks(stream: Stream, size: int, tolerance: int | None) -> int:
    """How many disjoint blocks of `size` tyres within `tolerance` weeks of each other.

    The oldest tyre goes with the next ones if they are near enough, else it stands alone: blocks
    may be uncrossed into runs of neighbours, as two crossing ones can swap their newer ends. Fewer
    than `size` tyres ever wait, so a lot costs the same whatever its size.
    """
    if tolerance is None or size == 1:
        return stream.total // size
    found = 0
    waiting: list[int] = []
    for week, quantity in stream.cells():
        while waiting and waiting[0] < week - tolerance:
            waiting.pop(0)
        blocks, left = divmod(len(waiting) + quantity, size)
        if blocks:
            found += blocks
            waiting = [week] * left
        else:
            waiting += [week] * quantity
    return found
