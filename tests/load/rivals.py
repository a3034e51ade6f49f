"""What the forecast is measured against, and it itself: a distribution for each way of reckoning.

Each takes (SKUs, months) of history and gives ``Ahead`` for the months after it. TSB is Teunter,
Syntetos and Babai, *Intermittent demand: linking forecasting to inventory obsolescence*, 2011
(from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy import stats

from inventory.planning.dispersion import pooled_dispersion
from inventory.planning.filling import Protection
from inventory.planning.forecast import forecast
from inventory.planning.levels import quantile
from inventory.planning.seasons import pooled_seasons
from tests.load.shop import Series

CHANCE, SIZE = 0.1, 0.1  # smoothing of TSB, as usual


@dataclass(frozen=True)
class Outlook:
    """What is expected of each month ahead (SKUs, months), and the level for a chance over the
    first so many of them."""

    months: np.ndarray
    level: Callable[[float, int], np.ndarray]
    protection: Callable[[int, int], Protection] | None = None


def ours(history: Series, ahead: int, *, seasonal: bool = True) -> Outlook:
    """The product's own: pooled season, filter, negative binomial."""
    units, start = history.units, history.units.shape[1]
    exposure = history.listed
    category = history.category if seasonal else np.zeros_like(history.category)
    seasons = pooled_seasons(units, exposure, history.category, history.categories, 0)
    flat = np.ones_like(units)
    weight = seasons.months(category, 0, start) if seasonal else flat
    coming = seasons.months(category, start % 12, ahead) if seasonal else flat[:, :ahead]
    found = forecast(units, exposure, weight, np.zeros_like(category))
    means = found.demand(coming)[0]

    def spread(number: int) -> tuple[np.ndarray, np.ndarray]:
        return found.demand(coming[:, :number].sum(axis=1))

    return Outlook(
        means,
        lambda share, number: quantile(share, *spread(number)),
        lambda lead, whole: Protection(*spread(lead), *spread(whole)),
    )


def without_season(history: Series, ahead: int) -> Outlook:
    """The product's own, told that there is no season."""
    return ours(history, ahead, seasonal=False)


def tsb(units: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Rate after the last month, squared one-step errors, and their expectations; both summed."""
    sold = units > 0
    chance = sold.mean(axis=1)
    with np.errstate(invalid="ignore"):
        size = np.where(sold.any(axis=1), units.sum(axis=1) / np.maximum(sold.sum(axis=1), 1), 0)
    errors, expected = np.zeros(len(units)), np.zeros(len(units))
    for y in units.T:
        rate = chance * size
        errors, expected = errors + (y - rate) ** 2, expected + rate
        chance = chance + CHANCE * ((y > 0) - chance)
        size = np.where(y > 0, size + SIZE * (y - size), size)
    return chance * size, errors, expected


def croston(units: np.ndarray) -> np.ndarray:
    """Croston's rate after the last month: sizes and gaps smoothed apart, each from its first."""
    size, gap = np.zeros(len(units)), np.zeros(len(units))
    since = np.zeros(len(units))
    for y in units.T:
        since = since + 1
        sold, first = y > 0, size == 0
        size = np.where(sold, np.where(first, y, size + SIZE * (y - size)), size)
        gap = np.where(sold, np.where(first, since, gap + SIZE * (since - gap)), gap)
        since = np.where(sold, 0, since)
    return np.divide(size, gap, out=np.zeros(len(units)), where=gap > 0)


def croston_classic(history: Series, ahead: int) -> Outlook:
    """Croston, *Forecasting and stock control for intermittent demands*, 1972."""
    return _point(np.repeat(croston(history.units)[:, None], ahead, axis=1))


def croston_debiased(history: Series, ahead: int) -> Outlook:
    """Syntetos and Boylan, *The accuracy of intermittent demand estimates*, 2005: less the bias."""
    rate = croston(history.units) * (1 - SIZE / 2)
    return _point(np.repeat(rate[:, None], ahead, axis=1))


def tsb_by_season(history: Series, ahead: int) -> Outlook:
    """TSB on deseasonalised sales, times the pooled season; negative binomial, pooled spread."""
    units, start = history.units, history.units.shape[1]
    seasons = pooled_seasons(units, history.listed, history.category, history.categories, 0)
    weight = seasons.months(history.category, 0, start)
    rate, errors, expected = tsb(units / np.maximum(weight, 0.05))
    months = rate[:, None] * seasons.months(history.category, start % 12, ahead)
    ratio = pooled_dispersion(errors, expected, rate)

    def level(share: float, number: int) -> np.ndarray:
        mean = months[:, :number].sum(axis=1)
        return quantile(share, mean, mean * ratio)

    return Outlook(months, level)


def textbook_normal(history: Series, ahead: int) -> Outlook:
    """TSB, and a normal distribution with each SKU's own error."""
    rate, errors, _ = tsb(history.units)
    months = np.repeat(rate[:, None], ahead, axis=1)
    error = np.sqrt(errors / history.units.shape[1])

    def level(share: float, number: int) -> np.ndarray:
        safety = stats.norm.ppf(share) * error * np.sqrt(number)
        return np.maximum(np.ceil(months[:, :number].sum(axis=1) + safety), 0)

    return Outlook(months, level)


def naive(history: Series, ahead: int) -> Outlook:
    """Next month is like the last."""
    return _point(np.repeat(history.units[:, -1:], ahead, axis=1))


def always_zero(history: Series, ahead: int) -> Outlook:
    """Nothing will be sold. An honest measure puts this last."""
    return _point(np.zeros((len(history.units), ahead)))


def _point(months: np.ndarray) -> Outlook:
    return Outlook(months, lambda _, number: months[:, :number].sum(axis=1))


METHODS: dict[str, Callable[[Series, int], Outlook]] = {
    "ours": ours,
    "ours, no season": without_season,
    "TSB x season": tsb_by_season,
    "textbook normal": textbook_normal,
    "Croston": croston_classic,
    "SBA": croston_debiased,
    "naive": naive,
    "always zero": always_zero,
}
