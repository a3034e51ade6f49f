"""A range as planning sees it, with rates that are known for certain."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta

import numpy as np

from inventory.planning import (
    ANY_TIME,
    NO_MATE,
    Ahead,
    Batch,
    Catalogue,
    Demand,
    Forecast,
    House,
    Learned,
    Moves,
    Position,
    Prices,
    Scatter,
    Seasons,
    Shelf,
    Situation,
    Terms,
    supply,
)
from inventory.planning.forecast import Filtered

TODAY = date(2026, 1, 12)
CERTAIN = 1e15


def known(rate: Sequence[float], phi: float = 1.0) -> Forecast:
    """Rates that nothing is left to learn about; Poisson where ``phi`` is 1."""
    rates = np.array(rate, float)
    filtered = Filtered(rates * CERTAIN, np.full(rates.size, CERTAIN), rates)
    months, units = np.full(rates.size, 24.0), rates * 24
    scatter = Scatter(np.zeros(3), np.full(4, phi))
    return Forecast(filtered, np.full(rates.size, phi), np.ones(rates.size), months, units, scatter)


def learned(forecast: Forecast) -> Learned:
    skus = forecast.phi.size
    seasons = Seasons(np.ones((1, 12)), np.array([240.0]), 4)
    none = np.zeros((skus, 12))
    demand = Demand(none, none + 1, 1.0, np.zeros(skus))
    return Learned(np.zeros(skus, np.int64), seasons, demand, forecast, np.zeros(skus))


def moves(entries: Sequence[tuple[int, int, int]]) -> Moves:
    """Row of the SKU, days from today, pieces."""
    columns = np.array(entries, np.int64).reshape(-1, 3).T
    return Moves(*columns)


def situation(
    *,
    weekly: Sequence[float] = (1.0,),
    phi: float = 1.0,
    on_hand: Sequence[int] = (8,),
    held: Sequence[int] = (0,),
    coming: Sequence[tuple[int, int, int]] = (),
    queued: Sequence[tuple[int, int, int]] = (),
    lead: int = 70,
    spread: int = 0,
    review: int = 14,
    minimum: int = 1,
    pack: int = 1,
    batches: Sequence[Batch] = (),
    mate: Sequence[int] | None = None,
    costs: float = 50.0,
    prices: dict[int, Prices] | None = None,
    season: float = 1.0,
    service: float = 0.95,
) -> Situation:
    """Demand is so much a week; ``season`` is what all days ahead count for."""
    skus = len(weekly)
    forecast = known(weekly, phi)
    days = np.arange(900) / 7
    ahead = Ahead(forecast, season * days[None, :], days, np.zeros(skus, np.int64))
    terms = Terms(
        *(np.full(skus, each) for each in (lead, spread, minimum, pack)),
        np.full(skus, 0 if batches else ANY_TIME),
    )
    position = Position(
        ahead,
        Shelf(np.array(on_hand), np.array(held), np.zeros(skus, np.int64)),
        moves(coming),
        moves(queued),
        supply(terms, [list(batches)] if batches else [], today=TODAY, review=review),
    )
    names = [f"T-{n}" for n in range(skus)]
    catalogue = Catalogue(
        names,
        ["185/70 R 15"] * skus,
        ["front", "rear"] * (skus // 2) + [""] * (skus % 2),
        np.array(mate if mate is not None else [NO_MATE] * skus),
        np.full(skus, costs),
        ["road radials"],
    )
    return Situation(
        House(TODAY, datetime(2026, 1, 12, 8, tzinfo=UTC), TODAY + timedelta(days=300), service),
        catalogue,
        learned(forecast),
        position,
        [f"PO-{n}" for n in range(len(coming))],
        [TODAY + timedelta(days=day) for _, day, _ in coming],
        prices or {},
    )
