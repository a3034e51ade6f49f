"""Spells of time that no set can bridge, and tyres that no axle can use.

With a tolerance round the car no set reaches over a wider gap. The gaps grow when the tyres are
left out that are in no axle, for want of others near enough: what remains falls into spells that
can be counted one by one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from inventory.sets.stream import Stream
from inventory.sets.tree import Axle, Cluster, Option

Week = tuple[int, int]  # stream, week


def spells(cluster: Cluster, streams: Sequence[Stream]) -> Iterator[Sequence[Stream]]:
    """The streams of each spell in turn, tyres that no axle can use left out."""
    if cluster.width is None:
        yield streams
        return
    useful = {
        cell
        for axle in dict.fromkeys(cluster.axles)
        for option in axle.options
        for cell in _useful(axle, option, streams)
    }
    spell: list[Week] = []
    for stream, week in sorted(useful, key=lambda cell: cell[1]):
        if spell and week - spell[-1][1] > cluster.width:
            yield _only(spell, streams)
            spell = []
        spell.append((stream, week))
    if spell:
        yield _only(spell, streams)


def _useful(axle: Axle, option: Option, streams: Sequence[Stream]) -> Iterator[Week]:
    """Weeks of the option's streams that some axle could use.

    The weeks are cut where the next is further off than the tolerance; no axle bridges that, and a
    piece with too few tyres has none.
    """
    weeks = sorted({week for stream, _ in option.needs for week in streams[stream].weeks})
    piece: list[int] = []
    for week in [*weeks, None]:
        ends = week is None or (
            piece and axle.tolerance is not None and week - piece[-1] > axle.tolerance
        )
        if ends:
            cells = {
                stream: [w for w in streams[stream].weeks if piece and piece[0] <= w <= piece[-1]]
                for stream, _ in option.needs
            }
            if all(_number(streams[s], cells[s]) >= count for s, count in option.needs):
                yield from ((stream, w) for stream, some in cells.items() for w in some)
            piece = []
        if week is not None:
            piece.append(week)


def _number(stream: Stream, weeks: Sequence[int]) -> int:
    held = dict(stream.cells())
    return sum(held[week] for week in weeks)


def _only(spell: Sequence[Week], streams: Sequence[Stream]) -> list[Stream]:
    kept: list[set[int]] = [set() for _ in streams]
    for stream, week in spell:
        kept[stream].add(week)
    return [
        Stream(cell for cell in stream.cells() if cell[0] in weeks)
        for stream, weeks in zip(streams, kept, strict=True)
    ]
