"""The shape of the question: what has to be there together, and what may stand in for what.

A problem is an and-or tree. All its parts are needed; a part is served by any of its cases, whose
stocks have nothing in common (one per mark, say, where that has to be the same round the car); a
case needs all of its clusters. So counts add over cases and the least one holds over clusters and
parts. Everything hard sits in a cluster: axles bound by the car's tolerance or by shared stock.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from inventory.sets.recipe import Lot
from inventory.sets.stream import Stream


@dataclass(frozen=True, slots=True)
class Option:
    """One way to serve an axle: so many tyres from each of these streams.

    needs: (stream, count), each stream once.
    slots: (which of the axle's places, stream, count): what goes where.
    """

    needs: tuple[tuple[int, int], ...]
    slots: tuple[tuple[int, int, int], ...]


@dataclass(frozen=True, slots=True)
class Axle:
    """An axle with the places that match it, and the weeks that a tyre on the car leaves open.

    Axles are equal when they can stand in for one another: the names of their places do not count.
    """

    tolerance: int | None
    earliest: int | None
    latest: int | None
    options: tuple[Option, ...]
    places: tuple[str, ...] = field(compare=False)


@dataclass(frozen=True, slots=True)
class Cluster:
    """Axles that have to be served together; width: tolerance round the car, None for no limit."""

    axles: tuple[Axle, ...]
    width: int | None


Case = tuple[Cluster, ...]
Part = tuple[Case, ...]


@dataclass(frozen=True, slots=True)
class Problem:
    """The whole question. Option.needs are positions in streams; lots_of are the lots of each."""

    parts: tuple[Part, ...]
    streams: list[Stream]
    lots_of: list[list[Lot]]
    week_of: dict[int | None, int]

    def week(self, lot: Lot) -> int:
        """Week of a lot as its stream has it: negated where the newest leaves first."""
        return self.week_of[lot.week]


@dataclass(frozen=True, slots=True)
class Served:
    """One axle of one set: how it is served, and of which weeks. takes: (stream, week, count)."""

    places: tuple[str, ...]
    option: Option
    takes: tuple[tuple[int, int, int], ...]


SetPlan = tuple[Served, ...]
