"""Sets of one axle drawn from one stream: a single sweep, oldest to newest."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from inventory.sets.stream import Stream


def count_blocks(stream: Stream, size: int, tolerance: int | None) -> int:
    """How many disjoint blocks of `size` tyres within `tolerance` weeks of each other.

    The oldest tyre goes with the next ones if they are near enough, else it stands alone: blocks
    may be uncrossed into runs of neighbours, as two crossing ones can swap their newer ends.
    """
    if tolerance is None or size == 1:
        return stream.total // size
    found = 0
    for blocks in blocks_so_far(stream.cells(), size, tolerance):
        found = blocks
    return found


def blocks_so_far(
    cells: Iterable[tuple[int, int]], size: int, tolerance: int | None
) -> Iterator[int]:
    """The count of the (week, how many) up to each, in order of week.

    Fewer than `size` tyres ever wait, so a lot costs the same however large it is.
    """
    found = 0
    waiting: list[int] = []
    for week, quantity in cells:
        while waiting and tolerance is not None and waiting[0] < week - tolerance:
            waiting.pop(0)
        blocks, left = divmod(len(waiting) + quantity, size)
        if blocks:
            found += blocks
            waiting = [week] * left
        else:
            waiting += [week] * quantity
        yield found
