"""Fewest places to walk to for given weeks, then the first ones on the way round the racks."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from inventory.sets.dealing import Cell, Shelf, lots_by_cell
from inventory.sets.recipe import Lot
from inventory.sets.tree import Problem, SetPlan

Stop = tuple[int, str]  # walking order, place
Lots = dict[Cell, list[tuple[Lot, int]]]


def fewest_places(problem: Problem, plans: Sequence[SetPlan]) -> tuple[SetPlan, Shelf, list[Stop]]:
    """The set among these with the fewest places, a shelf of its lots, and the places it needs.

    Equal numbers of places: the first ones in walking order.
    """
    best: tuple[list[Stop], SetPlan, Lots] | None = None
    streams = {stream for plan in plans for served in plan for stream, _, _ in served.takes}
    cells = lots_by_cell(problem, sorted(streams))
    for plan in plans:
        most = len(best[0]) if best else None
        stops = _stops(_demand(plan), cells, most)
        if stops is not None and (best is None or _shorter(stops, best[0])):
            best = stops, plan, cells
    assert best is not None  # noqa: S101 - the first plan is never limited
    stops, plan, _ = best
    kept = {
        cell: [(lot, number) for lot, number in lots if (lot.walk, lot.place) in stops]
        for cell, lots in cells.items()
    }
    return plan, Shelf(kept), stops


def _shorter(one: list[Stop], other: list[Stop]) -> bool:
    return (len(one), one) < (len(other), other)


def _demand(plan: SetPlan) -> dict[Cell, int]:
    demand: dict[Cell, int] = {}
    for served in plan:
        for stream, week, number in served.takes:
            demand[stream, week] = demand.get((stream, week), 0) + number
    return demand


def _stops(demand: dict[Cell, int], cells: Lots, most: int | None) -> list[Stop] | None:
    """The fewest places that hold the demand; None where more than `most` are needed."""
    offers = _offers(demand, cells)
    wanted = tuple(demand.values())
    upper = sum(wanted) if most is None else min(most, sum(wanted))
    for size in range(1, upper + 1):
        found = _cover(offers, wanted, size)
        if found is not None:
            return found
    return None


def _offers(demand: dict[Cell, int], cells: Lots) -> list[tuple[Stop, tuple[int, ...]]]:
    """What each place can give towards each cell, in walking order.

    Of places that offer the same no more are kept than a set could use: a set that takes the first
    ones is as good.
    """
    held: dict[Stop, dict[Cell, int]] = {}
    for cell in demand:
        for lot, number in cells[cell]:
            here = held.setdefault((lot.walk, lot.place), {})
            here[cell] = here.get(cell, 0) + number
    offers = []
    seen: dict[tuple[int, ...], int] = {}
    for stop in sorted(held):
        offer = tuple(min(held[stop].get(cell, 0), wanted) for cell, wanted in demand.items())
        seen[offer] = seen.get(offer, 0) + 1
        if seen[offer] <= sum(demand.values()):
            offers.append((stop, offer))
    return offers


def _cover(
    offers: Sequence[tuple[Stop, tuple[int, ...]]], wanted: tuple[int, ...], size: int
) -> list[Stop] | None:
    """The first `size` places, in walking order, that together hold what is wanted."""
    if not any(wanted):
        return []
    if size == 0 or not _within_reach(offers, wanted, size):
        return None
    for number, (stop, offer) in enumerate(offers):
        left = tuple(max(0, want - give) for want, give in zip(wanted, offer, strict=True))
        if left != wanted:
            rest = _cover(offers[number + 1 :], left, size - 1)
            if rest is not None:
                return [stop, *rest]
    return None


def _within_reach(
    offers: Iterable[tuple[Stop, tuple[int, ...]]], wanted: tuple[int, ...], size: int
) -> bool:
    """Whether, cell by cell, the best `size` places hold enough."""
    columns = zip(*(offer for _, offer in offers), strict=True)
    reach = [sum(sorted(column, reverse=True)[:size]) for column in columns]
    return len(reach) == len(wanted) and all(
        most >= want for most, want in zip(reach, wanted, strict=True)
    )
