"""Seasons: what each month of the year counts for, pooled over a category.

No tyre of a slow range sells often enough to show a season of its own, so its category lends it
one. A thin category is drawn towards no season at all.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from inventory.planning.arrays import Floats, Ints, summed

YEAR = 12
PSEUDO_UNITS = 30.0
"""Pieces a month that speak for no season, set against those that were asked for."""


@dataclass(frozen=True, slots=True)
class Seasons:
    """``index`` (categories, 12), January first, 1 on average; ``units`` (categories,) pieces that
    it rests on; ``years`` whole years of history."""

    index: Floats
    units: Floats
    years: int

    def months(self, category: Ints, first_month: int, months: int) -> Floats:
        """What each of so many months counts for, from a calendar month (0 = January); (SKUs,
        months)."""
        return self.index[category][:, (first_month + np.arange(months)) % YEAR]


def pooled_seasons(
    units: Floats, exposure: Floats, category: Ints, categories: int, first_month: int
) -> Seasons:
    """The month indices of each category from whole years of demand, (SKUs, months) each.

    Each SKU is measured against its own year, so that growth and decline are not taken for a
    season. ``first_month`` is the calendar month of the first column, 0 = January.
    """
    months = units.shape[1]
    years = months // YEAR
    flat = Seasons(np.ones((categories, YEAR)), np.zeros(categories), years)
    if years == 0 or categories == 0:
        return flat
    first = months - years * YEAR
    shape = (units.shape[0], years, YEAR)
    whole = units[:, first:].reshape(shape), exposure[:, first:].reshape(shape)
    index, total = flat.index, _by_category(whole[0].sum(axis=1), category, categories)
    # A SKU whose shelf was bare in its best months is known by its others: hence twice over.
    steps = 1 if (exposure[:, first:] == 1).all() else 3
    for _ in range(steps):
        index = _fitted(*whole, index[category], category, total)
    turned = np.roll(index, (first_month + first) % YEAR, axis=1)
    return Seasons(turned, total.sum(axis=1), years)


def _fitted(
    units: Floats, exposure: Floats, index: Floats, category: Ints, total: Floats
) -> Floats:
    """Pieces asked for in a month over those that the SKUs' years lead one to expect."""
    stood_for = (exposure * index[:, None, :]).sum(axis=2)
    with np.errstate(divide="ignore", invalid="ignore"):
        rate = np.where(stood_for > 0, units.sum(axis=2) / stood_for, 0.0)
    expected = _by_category((rate[:, :, None] * exposure).sum(axis=1), category, len(total))
    found = (total + PSEUDO_UNITS) / (expected + PSEUDO_UNITS)
    return np.asarray(found / found.mean(axis=1, keepdims=True))


def _by_category(values: Floats, category: Ints, categories: int) -> Floats:
    return np.stack([summed(values[:, m], category, categories) for m in range(YEAR)], axis=1)
