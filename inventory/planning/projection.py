"""Stock that is there in time against what may be asked for by then."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from inventory.planning.arrays import Flags, Floats, Ints
from inventory.planning.forecast import Forecast
from inventory.planning.levels import more_than, quantile
from inventory.planning.shelf import Moves

NEVER = -1
WEEK = 7


@dataclass(frozen=True, slots=True)
class Ahead:
    """Demand ahead of all SKUs, in season-weighted months from today up to each day.

    ``seasonal`` is (categories, days + 1), ``plain`` (days + 1,) the same without a season,
    ``category`` (SKUs,) the row of each.
    """

    forecast: Forecast
    seasonal: Floats
    plain: Floats
    category: Ints

    def months(self, rows: Ints, day: Ints) -> Floats:
        """Season-weighted months up to a day, (rows,) or (rows, days)."""
        across = self.category[rows]
        return np.asarray(self.seasonal[across[:, None] if day.ndim == 2 else across, day])

    def demand(self, rows: Ints, day: Ints) -> tuple[Floats, Floats]:
        """Mean and variance of what is asked for up to a day, (rows,) or (rows, days)."""
        return self.forecast.demand(self.months(rows, day), rows)


@dataclass(frozen=True, slots=True)
class Cover:
    """What the projection says; (SKUs,) each, days from today.

    ``mean`` and ``level`` are demand until ``Supply.until``: expected, and enough with the chance
    asked for; ``variance`` includes the doubt about the lead time. ``in_time`` comes by then, less
    what is queued for it; ``late`` comes afterwards, or is overdue. ``first_risk`` is the first
    day on which stock in time is below that day's level, ``NEVER`` if none is. ``need`` is what an
    order now must bring. ``chance`` is that of running out once an order could have landed,
    ``before`` that of running out before.
    """

    mean: Floats
    variance: Floats
    level: Floats
    in_time: Floats
    late: Floats
    first_risk: Ints
    need: Floats
    chance: Floats
    before: Floats


@dataclass(frozen=True, slots=True)
class Part:
    """Some SKUs, all at once. ``lands``, ``until``, ``spread``, ``free`` are (rows, 1)."""

    ahead: Ahead
    rows: Ints
    coming: Moves
    queued: Moves
    lands: Ints
    until: Ints
    spread: Floats
    free: Floats

    def only(self, some: Ints) -> Part:
        """Some of them."""
        columns = {name: getattr(self, name)[some] for name in ("rows", "lands", "until")}
        columns |= {name: getattr(self, name)[some] for name in ("spread", "free")}
        coming, queued = (each.of(some, self.rows.size) for each in (self.coming, self.queued))
        return replace(self, coming=coming, queued=queued, **columns)

    def stock(self, day: Ints) -> Floats:
        """What is there by each day, (rows, days)."""
        return self.free + self.coming.by(day) - self.queued.by(day)

    def demand(self, day: Ints) -> tuple[Floats, Floats]:
        """Mean and variance by each day; from the landing on with the doubt about its day.

        A lead time with standard deviation s adds (pieces a day x s) squared (Silver, Pyke and
        Peterson, *Inventory Management and Production Planning and Scheduling*, 1998, section 7.10;
        from memory).
        """
        mean, variance = self.ahead.demand(self.rows, day)
        doubt = (mean / np.maximum(day, 1) * self.spread) ** 2
        return mean, variance + np.where(day >= self.lands, doubt, 0.0)


def project(part: Part, service: float) -> Cover:
    """The projection, week by week. See ``Cover``."""
    day = _days(part)
    mean, variance = part.demand(day)
    stock = part.stock(day)
    risk = more_than(stock, mean, variance)
    landed, short = day >= part.lands, risk > 1.0 - service
    end = mean[:, -1], variance[:, -1]
    coming = part.coming.by(part.until)[:, 0]
    return Cover(
        *end,
        quantile(service, *end),
        coming - part.queued.by(part.until)[:, 0],
        part.coming.total(part.rows.size) - coming,
        _first_risk(part, short, day, service),
        _need(short & landed, stock, mean, variance, service),
        np.where(landed, risk, 0.0).max(axis=1, initial=0.0),
        np.where(day <= part.lands, risk, 0.0).max(axis=1, initial=0.0),
    )


def _days(part: Part) -> Ints:
    """The end of every week until the next order but one, and the day on which one can land."""
    weeks = int(-(-part.until.max(initial=1) // WEEK))
    ends = np.minimum(WEEK * np.arange(1, weeks + 1), part.until)
    return np.sort(np.concatenate([ends, np.maximum(part.lands, 1)], axis=1), axis=1)


def _first_risk(part: Part, short: Flags, day: Ints, service: float) -> Ints:
    """The first day of risk: in the first week that ends at risk, day by day."""
    found = np.full(part.rows.size, NEVER)
    some = np.flatnonzero(short.any(axis=1))
    week = day[some, short[some].argmax(axis=1)]
    days = np.maximum(week[:, None] - np.arange(WEEK)[::-1], 1)
    part = part.only(some)
    risk = more_than(part.stock(days), *part.demand(days)) > 1.0 - service
    found[some] = days[np.arange(some.size), risk.argmax(axis=1)]
    return found


def _need(wanted: Flags, stock: Floats, mean: Floats, variance: Floats, service: float) -> Floats:
    """The most that the level is above the stock, over the days that an order can help."""
    gap = np.zeros(stock.shape)
    gap[wanted] = quantile(service, mean[wanted], variance[wanted]) - stock[wanted]
    return np.asarray(gap.max(axis=1, initial=0.0))
