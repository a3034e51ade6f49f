"""Demand, seasons, forecast, cover, alerts and the season's budget. Pure numpy and scipy.

    learned = learn(history, category, family, categories=…, first_month=…)
    position = Position(learned.ahead(changes, today, days), shelf, coming, queued,
                        supply(terms, calendars, today=today, review=…))
    lines = alert_lines(Situation(house, catalogue, learned, position, references, due, prices))

Every array has one entry a SKU, in one order throughout. ``days`` must reach the season's end and
``position.supply.until.max()``.
"""

from inventory.planning.alerts import alert_lines, lines_of
from inventory.planning.breaks import Costs, Prices
from inventory.planning.changes import Change
from inventory.planning.cover import Position, cover
from inventory.planning.demand import Demand, History, asked_for
from inventory.planning.dispersion import Scatter
from inventory.planning.forecast import Forecast, forecast
from inventory.planning.learning import Learned, Lessons, learn, learn_by, lessons_of
from inventory.planning.line import AlertLine, Cause, Override
from inventory.planning.pairing import sellable_sets
from inventory.planning.projection import NEVER, Ahead, Cover
from inventory.planning.seasons import Seasons, pooled_seasons
from inventory.planning.shelf import Moves, Shelf, no_moves
from inventory.planning.situation import NO_MATE, Catalogue, House, Purse, Situation
from inventory.planning.supply import ANY_TIME, Batch, Supply, Terms, supply

__all__ = [
    "ANY_TIME",
    "NEVER",
    "NO_MATE",
    "Ahead",
    "AlertLine",
    "Batch",
    "Catalogue",
    "Cause",
    "Change",
    "Costs",
    "Cover",
    "Demand",
    "Forecast",
    "History",
    "House",
    "Learned",
    "Lessons",
    "Moves",
    "Override",
    "Position",
    "Prices",
    "Purse",
    "Scatter",
    "Seasons",
    "Shelf",
    "Situation",
    "Supply",
    "Terms",
    "alert_lines",
    "asked_for",
    "cover",
    "forecast",
    "learn",
    "learn_by",
    "lessons_of",
    "lines_of",
    "no_moves",
    "pooled_seasons",
    "sellable_sets",
    "supply",
]
