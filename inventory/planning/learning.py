"""From the books to a forecast: seasons, demand and rates of all SKUs in one go."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

import numpy as np

from inventory.planning.arrays import Floats, Ints
from inventory.planning.changes import Change, days_ahead, plain_days_ahead
from inventory.planning.demand import Demand, History, against_earlier_sales, asked_for
from inventory.planning.dispersion import Scatter
from inventory.planning.forecast import Forecast, forecast, told_by
from inventory.planning.odd import without_odd_months
from inventory.planning.projection import Ahead
from inventory.planning.seasons import Seasons, pooled_seasons


@dataclass(frozen=True, slots=True)
class Learned:
    """What the history of all SKUs teaches. ``category`` (SKUs,) is the row of each in ``seasons``;
    ``odd`` (SKUs,) are pieces of months that were left out, since they cannot be right."""

    category: Ints
    seasons: Seasons
    demand: Demand
    forecast: Forecast
    odd: Floats

    def ahead(self, changes: Iterable[Change], today: date, days: int) -> Ahead:
        """Demand from today up to each of so many days."""
        seasonal = days_ahead(self.seasons, changes, today, days)
        return Ahead(self.forecast, seasonal, plain_days_ahead(today, days), self.category)


def learn(
    history: History, category: Ints, family: Ints, *, categories: int, first_month: int
) -> Learned:
    """Everything that is learnt from a history.

    ``category`` lends a SKU its season and ``family`` its mean, (SKUs,) each, counted from 0;
    ``first_month`` is the calendar month of the first column, 0 = January.
    """
    history, odd = without_odd_months(history)
    seasons = _seasons(history, category, categories, first_month)
    weights = seasons.months(category, first_month, history.sold.shape[1])
    demand = asked_for(history, weights)
    found = forecast(demand.units, demand.exposure, weights, family)
    return Learned(category, seasons, demand, found, odd)


@dataclass(frozen=True, slots=True)
class Lessons:
    """What all SKUs teach, and none could teach alone: enough to forecast one of them by itself."""

    seasons: Seasons
    written_down: float
    scatter: Scatter


def lessons_of(learned: Learned) -> Lessons:
    """What is to be kept of what was learnt, besides the mean of each range."""
    return Lessons(learned.seasons, learned.demand.written_down, learned.forecast.scatter)


def learn_by(
    history: History, category: Ints, start: Floats, lessons: Lessons, *, first_month: int
) -> Learned:
    """What was learnt of some SKUs, by lessons of all of them and the mean ``start`` (SKUs,) of
    the range of each: the same as if all had been learnt from again."""
    history, odd = without_odd_months(history)
    weights = lessons.seasons.months(category, first_month, history.sold.shape[1])
    demand = asked_for(history, weights, lessons.written_down)
    found = told_by(demand.units, demand.exposure * weights, start, lessons.scatter)
    return Learned(category, lessons.seasons, demand, found, odd)


def _seasons(history: History, category: Ints, categories: int, first_month: int) -> Seasons:
    """From what was had while there was something to have: an empty shelf says nothing."""
    had = against_earlier_sales(history.sold)[0] + history.unmet
    on_shelf = np.clip(np.nan_to_num(history.on_shelf), 0.0, 1.0)
    had = np.where(on_shelf > 0, had, 0.0)
    return pooled_seasons(had, on_shelf, category, categories, first_month)
