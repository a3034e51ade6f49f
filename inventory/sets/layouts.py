"""In which order the tyres of one set can lie along the streams.

A set that draws on one stream for two axles can be laid along it in several orders: front pair then
rear pair, or one inside the other. For a fixed order the valid sets form a lattice (see
`lattice`), so it is enough to look at every order. Most can be left out:

* Axles alike in every respect: one order. Deal the tyres that they use, oldest first, to the first
  axle, the next to the second. If the k-th axle were then too wide, with N axles alike, at least
  N - k + 1 of the axles held a tyre as new as its newest and k held one as old as its oldest: one
  held both, and was too wide before.
* Axles that draw on this stream only, with the same tolerance, or of a single tyre: whole blocks,
  in every order. Of two crossing blocks give the first tyres to the one that has the very first;
  neither gets wider.
* Anything else: every interleaving.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby, product


@dataclass(frozen=True, slots=True)
class AxleShape:
    """What matters of one axle: its tolerance, the weeks it is bound to, its (stream, count)s."""

    tolerance: int | None
    earliest: int | None
    latest: int | None
    needs: tuple[tuple[int, int], ...]

    @property
    def lone(self) -> bool:
        """A single tyre that no window binds."""
        unbound = self.earliest is None and self.latest is None
        return unbound and sum(count for _, count in self.needs) == 1


Orders = tuple[tuple[int, int], ...]  # (axle, how many in a row), along one stream


@dataclass(frozen=True, slots=True)
class Layout:
    """Blocks of neighbouring tyres, numbered; and what holds between them."""

    chains: tuple[tuple[int, tuple[int, ...]], ...]  # stream, its blocks in order
    streams: tuple[int, ...]  # by block
    sizes: tuple[int, ...]  # by block
    axles: tuple[int, ...]  # by block
    spans: tuple[tuple[int, tuple[int, ...]], ...]  # width, blocks that have to lie within it
    bounds: tuple[tuple[int, int | None, int | None], ...]  # block, earliest week, latest week


@lru_cache(maxsize=4096)
def layouts(axles: tuple[AxleShape, ...], car: int | None) -> tuple[Layout, ...]:
    """Every layout that has to be looked at; car: the widest spread of all of them together."""
    by_stream: dict[int, list[int]] = {}
    for number, axle in enumerate(axles):
        for stream, _ in axle.needs:
            by_stream.setdefault(stream, []).append(number)
    choices = [_orders(axles, stream, sharing) for stream, sharing in by_stream.items()]
    return tuple(
        _layout(axles, car, dict(zip(by_stream, orders, strict=True)))
        for orders in product(*choices)
    )


@lru_cache(maxsize=4096)
def uniform(axles: tuple[AxleShape, ...]) -> bool:
    """Whether axles that share a stream are alike in every respect."""
    owners: dict[int, AxleShape] = {}
    return all(
        owners.setdefault(stream, axle) == axle for axle in axles for stream, _ in axle.needs
    )


def _orders(axles: tuple[AxleShape, ...], stream: int, sharing: list[int]) -> list[Orders]:
    shapes = [axles[number] for number in sharing]
    sizes = {number: dict(axles[number].needs)[stream] for number in sharing}
    if len(set(shapes)) == 1:
        return [tuple(sizes.items())]
    if _only_here(shapes):
        return [
            tuple((number, sizes[number]) for number in order)
            for order in _distinct(sharing, axles)
        ]
    slots = [number for number in sharing for _ in range(sizes[number])]
    return [
        tuple((number, len(list(run))) for number, run in groupby(order))
        for order in _interleavings(slots)
    ]


def _only_here(shapes: list[AxleShape]) -> bool:
    bound = {(shape.tolerance, shape.earliest, shape.latest) for shape in shapes if not shape.lone}
    return len(bound) <= 1 and all(len(shape.needs) == 1 for shape in shapes)


def _distinct(sharing: list[int], axles: tuple[AxleShape, ...]) -> Iterator[list[int]]:
    """Orders of the axles, those alike always in the order given."""
    if not sharing:
        yield []
    seen: set[AxleShape] = set()
    for number in sharing:
        if axles[number] not in seen:
            seen.add(axles[number])
            rest = [other for other in sharing if other != number]
            for order in _distinct(rest, axles):
                yield [number, *order]


def _interleavings(slots: list[int]) -> Iterator[list[int]]:
    if not slots:
        yield []
    for number in dict.fromkeys(slots):
        rest = list(slots)
        rest.remove(number)
        for order in _interleavings(rest):
            yield [number, *order]


def _layout(axles: tuple[AxleShape, ...], car: int | None, orders: dict[int, Orders]) -> Layout:
    blocks: list[tuple[int, int, int]] = []  # stream, axle, size
    chains: list[tuple[int, tuple[int, ...]]] = []
    for stream, order in orders.items():
        chains.append((stream, tuple(range(len(blocks), len(blocks) + len(order)))))
        blocks.extend((stream, axle, size) for axle, size in order)
    spans: list[tuple[int, tuple[int, ...]]] = []
    bounds: list[tuple[int, int | None, int | None]] = []
    for number, axle in enumerate(axles):
        own = tuple(block for block, (_, owner, _) in enumerate(blocks) if owner == number)
        if axle.tolerance is not None and not axle.lone:
            spans.append((axle.tolerance, own))
        if axle.earliest is not None or axle.latest is not None:
            bounds.extend((block, axle.earliest, axle.latest) for block in own)
    if car is not None and len(axles) > 1:
        spans.append((car, tuple(range(len(blocks)))))
    return Layout(
        tuple(chains),
        tuple(stream for stream, _, _ in blocks),
        tuple(size for _, _, size in blocks),
        tuple(axle for _, axle, _ in blocks),
        tuple(spans),
        tuple(bounds),
    )
