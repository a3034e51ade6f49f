"""The alerts: every SKU whose stock may not last, each with its numbers and its reason."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta

import numpy as np

from inventory.planning import line as told
from inventory.planning.arrays import Ints
from inventory.planning.cover import cover
from inventory.planning.figures import Figures, figure
from inventory.planning.line import AlertLine
from inventory.planning.pairing import sellable_sets
from inventory.planning.projection import NEVER
from inventory.planning.reasons import cause_of, sentence
from inventory.planning.situation import NO_MATE, Situation
from inventory.planning.supply import ANY_TIME
from inventory.planning.troubles import troubles


def alert_lines(situation: Situation) -> list[AlertLine]:
    """Every SKU at risk, by the day to order, then by the first day at risk and its code."""
    projected = cover(situation.position, service=situation.house.service)
    return lines_of(situation, np.flatnonzero(projected.first_risk != NEVER))


def lines_of(situation: Situation, rows: Ints) -> list[AlertLine]:
    """The lines of some SKUs that are at risk."""
    figures, arrivals = figure(situation, rows), _arrivals(situation, rows)
    lines = [_line(situation, figures, n, arrivals) for n in range(rows.size)]
    return sorted(lines, key=_urgency)


def _urgency(line: AlertLine) -> tuple[date, date, str]:
    return line.order_by.day or line.first_risk, line.first_risk, line.code


def _line(
    situation: Situation, figures: Figures, n: int, arrivals: Mapping[int, list[int]]
) -> AlertLine:
    row, catalogue = int(figures.rows[n]), situation.catalogue
    line = AlertLine(
        row,
        catalogue.code[row],
        catalogue.size[row],
        catalogue.place[row],
        _mate(situation, row),
        _shelf(situation, row),
        tuple(_arrival(situation, row, entry) for entry in arrivals.get(row, ())),
        _to_cover(situation, figures, n),
        _uplift(situation, figures, n),
        _day(situation, figures.cover.first_risk[n]),
        _order_by(situation, figures, n),
        _order(situation, figures, n),
        _money(situation, row, float(figures.pieces[n])),
        _confidence(situation, row),
        _chances(figures, n),
        told.Cause.DEMAND,
        troubles(situation, row),
    )
    line = replace(line, cause=cause_of(line))
    return replace(line, sentence=sentence(line))


def _day(situation: Situation, ahead: float) -> date:
    return situation.house.today + timedelta(days=int(ahead))


def _mate(situation: Situation, row: int) -> told.Mate | None:
    mate = int(situation.catalogue.mate[row])
    if mate == NO_MATE:
        return None
    shelf = situation.position.shelf
    own, other = (int(shelf.on_hand[each] - shelf.held[each]) for each in (row, mate))
    by_number = int(sellable_sets(own, other))
    sets = situation.sets.get(row, by_number)
    binding = by_number < int(sellable_sets(other, other))
    return told.Mate(situation.catalogue.code[mate], other, sets, binding, by_number)


def _shelf(situation: Situation, row: int) -> told.OnShelf:
    shelf = situation.position.shelf
    on_hand, held, kept_out = (
        int(each[row]) for each in (shelf.on_hand, shelf.held, shelf.kept_out)
    )
    return told.OnShelf(on_hand, held, kept_out, situation.house.as_of)


def _arrivals(situation: Situation, rows: Ints) -> Mapping[int, list[int]]:
    """Entries of what is coming, by the SKU's row."""
    found: dict[int, list[int]] = {}
    sku = situation.position.coming.sku
    for entry in np.flatnonzero(np.isin(sku, rows)):
        found.setdefault(int(sku[entry]), []).append(int(entry))
    return found


def _arrival(situation: Situation, row: int, entry: int) -> told.Arrival:
    coming, until = situation.position.coming, situation.position.supply.until[row]
    day = int(coming.day[entry])
    return told.Arrival(
        situation.references[entry],
        int(coming.units[entry]),
        situation.due[entry],
        in_time=bool(0 <= day <= until),
        overdue=day < 0,
    )


def _to_cover(situation: Situation, figures: Figures, n: int) -> told.ToCover:
    row, supply = figures.rows[n], situation.position.supply
    return told.ToCover(
        situation.house.today,
        _day(situation, supply.lands[row]),
        _day(situation, supply.until[row]),
        float(figures.cover.mean[n]),
        int(figures.cover.level[n]),
        situation.house.service,
        int(figures.queued[n]),
    )


def _uplift(situation: Situation, figures: Figures, n: int) -> told.Uplift:
    category = int(situation.learned.category[figures.rows[n]])
    seasons = situation.learned.seasons
    return told.Uplift(
        float(figures.uplift[n]),
        situation.catalogue.categories[category],
        seasons.years,
        float(seasons.units[category]),
        int(figures.plain_level[n]),
    )


def _order_by(situation: Situation, figures: Figures, n: int) -> told.OrderBy:
    supply, row = situation.position.supply, figures.rows[n]
    batch, missed = int(supply.batch[row]), int(supply.missed[row])
    ahead = int(figures.order_day[n])
    return told.OrderBy(
        _day(situation, ahead) if figures.quantities.need[n] > 0 else None,
        ahead,
        supply.batches[batch].code if batch != ANY_TIME else "",
        supply.batches[missed].code if missed != ANY_TIME else "",
        float(figures.short_meanwhile[n]),
    )


def _order(situation: Situation, figures: Figures, n: int) -> told.Order:
    row, steps = int(figures.rows[n]), figures.quantities
    supply, pieces = situation.position.supply, float(figures.pieces[n])
    need = float(steps.need[n])
    costs = (_cost(situation, row, pieces), _cost(situation, row, need))
    return told.Order(
        int(need),
        int(steps.after_minimum[n]),
        int(steps.after_pack[n]),
        int(pieces),
        int(supply.minimum[row]),
        int(supply.pack[row]),
        None if costs[0] is None or costs[1] is None else costs[0] - costs[1],
        float(figures.left[n]),
        situation.house.set_size,
        float(figures.chance_left[n]),
    )


def _cost(situation: Situation, row: int, pieces: float) -> float | None:
    prices = situation.prices.get(row)
    if prices is not None:
        return prices.bill(pieces)
    cost = float(situation.catalogue.cost[row])
    return cost * pieces if np.isfinite(cost) else None


def _money(situation: Situation, row: int, pieces: float) -> told.Money:
    cost, purse = _cost(situation, row, pieces), situation.purse
    if purse is None or cost is None:
        return told.Money(cost)
    share = cost / purse.budget if purse.budget > 0 else None
    return told.Money(cost, share, float(purse.gain[row]), purse.price_of_money)


def _confidence(situation: Situation, row: int) -> told.Confidence:
    found = situation.learned.forecast
    numbers = float(found.units[row]), float(found.own[row])
    return told.Confidence(int(found.sale_months[row]), *numbers)


def _chances(figures: Figures, n: int) -> told.Chances:
    projected = figures.cover
    return told.Chances(
        float(projected.before[n]), float(projected.chance[n]), float(figures.with_order[n])
    )
