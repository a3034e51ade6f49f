"""From weeks to lots, and from an axle's tyres to its places."""

from __future__ import annotations

from collections.abc import Hashable, Iterable

from inventory.sets.answer import MatchedSet, PlaceTyres
from inventory.sets.recipe import Lot, Recipe
from inventory.sets.tree import Problem, Served, SetPlan

Cell = tuple[int, int]  # stream, week


class Shelf:
    """The lots of each week of each stream, handed out in the order they are given."""

    def __init__(self, cells: dict[Cell, list[tuple[Lot, int]]]) -> None:
        self._cells = {
            cell: [(lot.key, number) for lot, number in lots] for cell, lots in cells.items()
        }

    def take(self, cell: Cell, number: int) -> list[tuple[Hashable, int]]:
        """So many tyres of that week, as (lot key, how many)."""
        taken: list[tuple[Hashable, int]] = []
        lots = self._cells[cell]
        while number:
            key, left = lots.pop(0)
            some = min(left, number)
            taken.append((key, some))
            number -= some
            if some < left:
                lots.insert(0, (key, left - some))
        return taken


def lots_by_cell(problem: Problem, streams: Iterable[int]) -> dict[Cell, list[tuple[Lot, int]]]:
    """All lots of these streams, in walking order within a week."""
    cells: dict[Cell, list[tuple[Lot, int]]] = {}
    for stream in streams:
        for lot in sorted(problem.lots_of[stream], key=lambda lot: (lot.walk, lot.place)):
            cells.setdefault((stream, problem.week(lot)), []).append((lot, lot.quantity))
    return cells


def dealt(recipe: Recipe, plan: SetPlan, shelf: Shelf) -> MatchedSet:
    """The set with lots from the shelf, which is so much emptier afterwards."""
    by_place: dict[str, list[tuple[Hashable, int]]] = {}
    for served in plan:
        _deal_axle(served, shelf, by_place)
    return MatchedSet(
        tuple(PlaceTyres(place.name, _merged(by_place[place.name])) for place in recipe.places)
    )


def _deal_axle(
    served: Served, shelf: Shelf, by_place: dict[str, list[tuple[Hashable, int]]]
) -> None:
    tyres: dict[int, list[Hashable]] = {}
    for stream, week, number in served.takes:
        for key, some in shelf.take((stream, week), number):
            tyres.setdefault(stream, []).extend([key] * some)
    for number, stream, count in served.option.slots:
        keys, tyres[stream] = tyres[stream][:count], tyres[stream][count:]
        by_place.setdefault(served.places[number], []).extend((key, 1) for key in keys)


def _merged(lots: Iterable[tuple[Hashable, int]]) -> tuple[tuple[Hashable, int], ...]:
    total: dict[Hashable, int] = {}
    for key, number in lots:
        total[key] = total.get(key, 0) + number
    return tuple(total.items())
