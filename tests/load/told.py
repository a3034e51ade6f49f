"""Figures beside their limits, printed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Row:
    """One figure and what it may be."""

    name: str
    value: float
    least: float = float("-inf")
    most: float = float("inf")

    @property
    def kept(self) -> bool:
        return self.least <= self.value <= self.most

    @property
    def limit(self) -> str:
        ends = [f">= {self.least:g}"] * (self.least > float("-inf"))
        return ", ".join([*ends, *[f"<= {self.most:g}"] * (self.most < float("inf"))])


def told(title: str, table: Mapping[str, Any], rows: Sequence[Row]) -> bool:
    """Prints the comparison and the limits; whether all are kept."""
    print(f"\n== {title}")
    if table:
        heads = "RMSSE 3m", "pin .90", "pin .95", "cov .95", "stock@95", "asked .95"
        print(f"{'':20}" + "".join(f"{head:>11}" for head in heads))
    for name, score in table.items():
        numbers = (
            score.rmsse,
            *score.pinball.values(),
            score.covered,
            score.stock_95,
            score.asked_95,
        )
        print(f"{name:20}" + "".join(f"{_number(each):>11}" for each in numbers))
    for row in rows:
        verdict = "ok" if row.kept else "MISSED"
        print(f"{row.name:36}{row.value:>11.4f}  limit {row.limit:20}{verdict}")
    return all(row.kept for row in rows)


def _number(value: float | None) -> str:
    if value is None:
        return ""
    return "never" if value == float("inf") else f"{value:.4f}"
