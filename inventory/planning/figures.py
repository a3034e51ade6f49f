"""The numbers of all alert lines at once."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from inventory.planning.arrays import Floats, Ints
from inventory.planning.cover import cover
from inventory.planning.levels import at_most, left, quantile, short
from inventory.planning.lots import lot_sizes
from inventory.planning.ordering import Quantities, quantities
from inventory.planning.projection import Cover
from inventory.planning.shelf import Moves
from inventory.planning.situation import Situation
from inventory.planning.supply import ANY_TIME


@dataclass(frozen=True, slots=True)
class Figures:
    """(lines,) each. ``cover`` is of the lines only. ``pieces`` are ordered; ``plain_level`` is the
    level without season and ``uplift`` what season does to the mean. ``order_day`` may be below
    nought: late. ``short_meanwhile`` are pieces short before an order lands; ``left`` and
    ``chance_left`` are those left at the season's end; ``with_order`` is the chance of running out
    in spite of the order."""

    rows: Ints
    cover: Cover
    quantities: Quantities
    pieces: Floats
    plain_level: Floats
    uplift: Floats
    order_day: Ints
    short_meanwhile: Floats
    left: Floats
    chance_left: Floats
    with_order: Floats
    queued: Ints


def figure(situation: Situation, rows: Ints) -> Figures:
    """The numbers of some SKUs."""
    supply, service = situation.position.supply, situation.house.service
    projected = cover(situation.position, service=service, rows=rows)
    steps = quantities(projected.need, supply.minimum[rows], supply.pack[rows])
    pieces = lot_sizes(situation, rows, steps)
    plain = situation.position.ahead.plain[supply.until[rows]]
    mean, variance = situation.learned.forecast.demand(plain, rows)
    with np.errstate(divide="ignore", invalid="ignore"):
        uplift = np.where(mean > 0, projected.mean / mean, 1.0)
    return Figures(
        rows,
        projected,
        steps,
        pieces,
        quantile(service, mean, variance),
        uplift,
        _order_day(situation, rows, projected),
        _short_meanwhile(situation, rows),
        *_left(situation, rows, pieces),
        _with_order(situation, rows, pieces),
        _queued(situation, rows),
    )


def _order_day(situation: Situation, rows: Ints, projected: Cover) -> Ints:
    """The last day to order, from today: the cut-off of the batch, else risk less lead time."""
    supply, today = situation.position.supply, situation.house.today
    cut_off = np.array([(each.order_by - today).days for each in supply.batches] or [0])
    batch = supply.batch[rows]
    return np.where(
        batch == ANY_TIME, projected.first_risk - supply.lands[rows], cut_off[np.maximum(batch, 0)]
    )


def _short_meanwhile(situation: Situation, rows: Ints) -> Floats:
    """Pieces expected to be short on the day before an order could land."""
    part = situation.position.part(rows)
    day = np.maximum(part.lands, 0)
    return short(np.maximum(part.stock(day), 0.0), *part.demand(day))[:, 0]


def _queued(situation: Situation, rows: Ints) -> Ints:
    """What is queued for until the order after this one comes."""
    part = situation.position.part(rows)
    return part.queued.by(part.until)[:, 0].astype(np.int64)


def _left(situation: Situation, rows: Ints, pieces: Floats) -> tuple[Floats, Floats]:
    """Pieces left at the season's end, and the chance of a set or more."""
    house, position = situation.house, situation.position
    part = position.part(rows)
    last = position.ahead.plain.size - 1
    end = np.clip((house.season_end - house.today).days, part.until, last)
    have = part.stock(end)[:, 0] + pieces
    mean, variance = (each[:, 0] for each in position.ahead.demand(rows, end))
    return left(have, mean, variance), at_most(have - house.set_size, mean, variance)


def _with_order(situation: Situation, rows: Ints, pieces: Floats) -> Floats:
    """The chance of running out once the order has landed."""
    position, lands = situation.position, situation.position.supply.lands[rows]
    coming = Moves(
        np.concatenate([position.coming.sku, rows]),
        np.concatenate([position.coming.day, lands]),
        np.concatenate([position.coming.units, pieces.astype(np.int64)]),
    )
    then = replace(position, coming=coming)
    return cover(then, service=situation.house.service, rows=rows).chance
