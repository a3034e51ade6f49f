"""What a finding counts for: the table rule x market x use, each cell with its source and date.

``weights.csv`` has one row for a rule (and its point) in a market ("any" is every one), and a
column for each use; an empty column says nothing. Where several rows speak, the strictest applies.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import cache
from importlib.resources import files
from typing import TypeAlias

from fitments.rules.values import Finding, Market, Terms, Use, Weight

Place: TypeAlias = tuple[str, str, Market, Use]


@dataclass(frozen=True, slots=True)
class Cell:
    """How much counts, by which source, and of what day that source is (or was judged)."""

    counts: Weight
    source: str
    dated: date
    told: str
    """The source with its day, as findings carry it."""


@cache
def table() -> dict[Place, Cell]:
    """Every cell by rule, point, market and use."""
    text = files(__package__).joinpath("weights.csv").read_text(encoding="utf-8")
    cells: dict[Place, Cell] = {}
    for row in csv.DictReader(text.splitlines()):
        for place, cell in _cells(row):
            if place not in cells or cells[place].counts <= cell.counts:
                cells[place] = cell
    return cells


def weigh(findings: Iterable[Finding], terms: Terms, where: str = "") -> tuple[Finding, ...]:
    """The findings with what each counts for; those not asked for in this use are left out.

    ``where`` is the place that they are about, where a whole car is judged. Raises KeyError for a
    rule or point that is not in the table.
    """
    cells = cells_for(terms.market, terms.use)
    found = [weighed(each, cells[each.rule, each.point], where) for each in findings]
    return tuple([each for each in found if each is not None])


@cache
def cells_for(market: Market, use: Use) -> dict[tuple[str, str], Cell]:
    """The cells of one market and use, by rule and point."""
    asked = (market, use)
    return {place[:2]: cell for place, cell in table().items() if place[2:] == asked}


def weighed(one: Finding, cell: Cell, where: str = "") -> Finding | None:
    """One finding with what it counts for; None where it is not asked for."""
    if cell.counts is Weight.NOT_ASKED:
        return None
    # Spelt out: made for every sentence, and dataclasses.replace takes five times as long.
    return Finding(
        one.rule,
        one.outcome,
        one.words,
        one.source,
        one.look_at,
        one.point,
        where or one.place,
        cell.counts,
        cell.told,
    )


def _cells(row: dict[str, str]) -> Iterable[tuple[Place, Cell]]:
    markets = tuple(Market) if row["market"] == "any" else (Market(row["market"]),)
    for use in Use:
        if row[use]:
            counts, dated = Weight[row[use].upper()], date.fromisoformat(row["dated"])
            cell = Cell(counts, row["source"], dated, f"{row['source']} ({dated.isoformat()})")
            for market in markets:
                yield (row["rule"], row["point"], market, use), cell
