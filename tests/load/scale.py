"""How large an invented house is."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Scale:
    """So many rows of each, and how long and often each question is asked.

    asks: times each question is asked; cars: of how many it is asked which tyre they take.
    seconds: how long writers write, ours and raw each.
    """

    skus: int
    lots: int
    lines: int
    variants: int
    fitments: int
    asks: int
    cars: int
    seconds: float


SCALES = {
    "full": Scale(100_000, 1_000_000, 10_000_000, 20_000, 200_000, asks=100, cars=12, seconds=6),
    "tenth": Scale(10_000, 100_000, 1_000_000, 2_000, 20_000, asks=300, cars=40, seconds=6),
    "small": Scale(300, 1_200, 8_000, 40, 400, asks=6, cars=6, seconds=0.1),
}
