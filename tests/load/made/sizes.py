"""Some hundreds of published sizes, how popular each is, and which stand in for one another."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from inventory.activities.cataloguing.size_columns import size_columns

INCH_WIDTHS = ("4.50", "5.20", "5.60", "5.90", "6.00", "6.40", "6.70", "7.00", "7.50", "8.20")


def _metric() -> list[str]:
    return [
        f"{width} {letter}R {rim} {65 + (width - 125) // 4 + rim - 10}{letter}"
        for width in range(125, 236, 10)
        for rim in (12, 13, 14, 15, 16)
        for letter in "SHV"
    ]


def _with_profile() -> list[str]:
    found = []
    for width in range(155, 336, 10):
        for aspect in (80, 70, 65, 60, 55, 50, 45):
            for rim in (13, 14, 15, 16, 17):
                if 540 <= rim * 25.4 + 2 * width * aspect / 100 <= 720:
                    index = 70 + (width - 155) // 6 + rim - 12
                    found.append(f"{width}/{aspect} R {rim} {index}{'HVW'[width % 3]}")
    return found


def _old() -> list[str]:
    inch = [f"{width}-{rim}" for width in INCH_WIDTHS for rim in (12, 13, 14, 15, 16, 17, 18, 19)]
    return inch + [f"{width} R 400 {(width - 145) // 4 + 80}H" for width in range(145, 196, 10)]


@dataclass(frozen=True)
class Sizes:
    """The sizes as typed, their columns as read, and the share of trade that each has."""

    texts: list[str]
    share: np.ndarray

    @cached_property
    def columns(self) -> list[dict]:
        return [dict(size_columns(text)) for text in self.texts]

    @cached_property
    def rim_mm(self) -> np.ndarray:
        return np.array([one["rim_mm"] for one in self.columns])

    @cached_property
    def overall_mm(self) -> np.ndarray:
        return np.array([float(one["overall_mm"] or 0) for one in self.columns])

    @cached_property
    def near(self) -> list[np.ndarray]:
        """By size, others on its rim that are about as high, itself first."""
        found = []
        for number, overall in enumerate(self.overall_mm):
            same = (self.rim_mm == self.rim_mm[number]) & (abs(self.overall_mm - overall) < 15)
            others = np.flatnonzero(same & (np.arange(len(self.texts)) != number))
            found.append(np.concatenate([[number], others]))
        return found


def sizes(rng: np.random.Generator) -> Sizes:
    """All of them; a few are asked for a dozen times as often as most."""
    texts = _metric() + _with_profile() + _old()
    share = rng.permutation((1 + np.arange(len(texts))) ** -0.4)
    return Sizes(texts, share / share.sum())
