"""A set as it is told: which tyres of which lots go where."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

from inventory.sets.recipe import Sku

Taken = tuple[tuple[Hashable, int], ...]
"""(lot key, how many)."""


@dataclass(frozen=True, slots=True)
class PlaceTyres:
    """The tyres for one place on the car."""

    place: str
    lots: Taken


@dataclass(frozen=True, slots=True)
class MatchedSet:
    """One complete set, its places in the recipe's order."""

    places: tuple[PlaceTyres, ...]

    def by_place(self) -> dict[str, Taken]:
        """The lots for each place, by its name."""
        return {entry.place: entry.lots for entry in self.places}

    def by_lot(self) -> dict[Hashable, int]:
        """How many of each lot, wherever they go."""
        total: dict[Hashable, int] = {}
        for entry in self.places:
            for key, number in entry.lots:
                total[key] = total.get(key, 0) + number
        return total


Companions = tuple[tuple[Sku, int], ...]
"""(SKU, how many) that go with one set."""
