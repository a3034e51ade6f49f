"""Sets of one axle drawn from one stream: a single sweep, oldest to newest."""

from __future__ import annotations

from bisect import bisect_left
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


def count_rows(stream: Stream, size: int, blocks: int, tolerance: int | None, width: int) -> int:
    """How many sets of so many blocks, each set within `width` weeks: `march` for one stream.

    The least set from some tyre on takes the first block that holds together, then the next behind
    it. If that is too wide, no tyre too old for its newest one can be in a set from there on.
    """
    weeks, found = _shortened(stream, size * blocks)
    end = len(weeks)
    next_block = [end] * (end + size + 1)
    for tyre in range(end - size, -1, -1):
        together = tolerance is None or weeks[tyre + size - 1] - weeks[tyre] <= tolerance
        next_block[tyre] = tyre if together else next_block[tyre + 1]
    start = 0
    while True:
        first = last = next_block[start]
        for _ in range(blocks - 1):
            last = next_block[last + size]
        if last == end:
            return found
        newest = weeks[last + size - 1]
        if newest - weeks[first] <= width:
            found += 1
            start = last + size
        else:
            start = bisect_left(weeks, newest - width, first + 1)


def _shortened(stream: Stream, size: int) -> tuple[list[int], int]:
    """Weeks tyre by tyre, and the sets taken out of weeks that hold many.

    Of a week a set from before may use fewer than `size` tyres, and so may one that goes on behind;
    what lies between are whole sets, so some of them can be counted without being looked at.
    """
    weeks: list[int] = []
    found = 0
    for week, quantity in stream.cells():
        whole = max(0, quantity // size - 2)
        found += whole
        weeks += [week] * (quantity - whole * size)
    return weeks, found
