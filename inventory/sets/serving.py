"""Axles with one option chosen for each: what layouts are made for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inventory.sets.layouts import AxleShape, Layout
from inventory.sets.stream import Stream
from inventory.sets.tree import Axle, Option, Served, SetPlan


@dataclass(frozen=True, slots=True)
class Serving:
    """shapes number the streams from 0 as they come, so that equal ones share their layouts."""

    axles: Sequence[Axle]
    chosen: Sequence[Option]
    shapes: tuple[AxleShape, ...]
    ids: tuple[int, ...]

    def local(self, streams: Sequence[Stream]) -> list[Stream]:
        """The streams as the shapes number them."""
        return [streams[stream] for stream in self.ids]

    def plan(self, layout: Layout, local: Sequence[Stream], first: Sequence[int]) -> SetPlan:
        """The set whose blocks start at these tyres."""
        takes: list[list[tuple[int, int, int]]] = [[] for _ in self.axles]
        for block, start in enumerate(first):
            stream = layout.streams[block]
            for week, count in local[stream].takes(start, layout.sizes[block]):
                takes[layout.axles[block]].append((self.ids[stream], week, count))
        return tuple(
            Served(axle.places, option, tuple(taken))
            for axle, option, taken in zip(self.axles, self.chosen, takes, strict=True)
        )


def serving(axles: Sequence[Axle], chosen: Sequence[Option]) -> Serving:
    """These axles served by these options."""
    local: dict[int, int] = {}
    shapes = []
    for axle, option in zip(axles, chosen, strict=True):
        needs = [(local.setdefault(stream, len(local)), count) for stream, count in option.needs]
        shapes.append(AxleShape(axle.tolerance, axle.earliest, axle.latest, tuple(needs)))
    return Serving(axles, chosen, tuple(shapes), tuple(local))


def weeks_of(plan: SetPlan) -> int:
    """Sum of the weeks of a set's tyres."""
    return sum(week * count for served in plan for _, week, count in served.takes)
