"""An invented shop for measuring: pairs of fronts and rears, seasonal, lumpy, drifting."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

# Four categories, January first: two peaks in spring and autumn, a summer, a winter, a plain one.
SEASONS = np.array(
    [
        [0.3, 0.6, 1.7, 2.2, 1.5, 0.9, 0.6, 0.6, 1.3, 1.2, 0.7, 0.4],
        [0.4, 0.4, 0.7, 1.2, 1.7, 2.1, 1.9, 1.5, 0.9, 0.5, 0.4, 0.3],
        [1.8, 1.3, 0.8, 0.5, 0.4, 0.4, 0.4, 0.6, 1.0, 1.6, 2.0, 1.2],
        [0.6, 0.9, 1.6, 1.5, 1.2, 1.0, 0.8, 0.7, 0.9, 1.2, 1.0, 0.6],
    ]
)
SEASONS = SEASONS / SEASONS.mean(axis=1, keepdims=True)


@dataclass(frozen=True)
class Series:
    """Monthly pieces (SKUs, months), the share of each month that they stand for, and the category
    of each SKU; the first month is January."""

    units: np.ndarray
    listed: np.ndarray
    category: np.ndarray
    categories: int


def invented(seed: int, *, pairs: int = 750, months: int = 60) -> Series:
    """Fronts first, then rears: sets of 2 + 2 beside pairs for one axle."""
    rng = np.random.default_rng(seed)
    category = rng.integers(0, len(SEASONS), pairs)
    lives = _lives(rng, pairs, np.arange(months))
    rate = _rates(rng, category, months) * lives
    sets = _lumpy(rng, rate * 0.6)
    axles = [2 * sets + 2 * _lumpy(rng, rate * rng.uniform(0.1, 0.5, (pairs, 1))) for _ in range(2)]
    axles = [each + (rng.random(each.shape) < 0.03 * (each > 0)) for each in axles]
    listed = np.tile(np.maximum.accumulate(lives > 0, axis=1), (2, 1)).astype(float)
    units = np.concatenate(axles).astype(float)
    return Series(units, listed, np.tile(category, 2), len(SEASONS))


def _rates(rng: np.random.Generator, category: np.ndarray, months: int) -> np.ndarray:
    """Sets a month of each pair: level, drift, and a season that is stronger in some years."""
    pairs = category.size
    level = rng.lognormal(-0.9, 0.9, (pairs, 1))
    drift = np.exp(np.cumsum(rng.normal(0, 0.04, (pairs, months)), axis=1))
    month = np.arange(months)
    year = month // 12
    strength = rng.uniform(0.7, 1.3, (len(SEASONS), months // 12 + 1))
    season = SEASONS[category][:, month % 12] ** strength[category][:, year]
    return level * drift * season


def _lives(rng: np.random.Generator, pairs: int, month: np.ndarray) -> np.ndarray:
    """Most live throughout; a tenth are new, a tenth fade away."""
    kind = rng.random((pairs, 1))
    turn = rng.integers(6, month.size - 3, (pairs, 1))
    fading = 0.85 ** np.maximum(month - turn, 0)
    return np.where(kind < 0.1, month >= turn, np.where(kind > 0.9, fading, 1.0)).astype(float)


def _lumpy(rng: np.random.Generator, rate: np.ndarray) -> np.ndarray:
    """Arrivals that scatter half as much again as chance ones."""
    return rng.negative_binomial(np.maximum(rate / 0.5, 1e-9), 1 / 1.5)
