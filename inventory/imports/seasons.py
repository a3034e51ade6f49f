"""The sheets of the calendar: seasons to buy for, events in them, fronts with their rears."""

from __future__ import annotations

from inventory.activities.earlier_sales import PAIRS
from inventory.activities.seasons import EVENTS, SEASONS
from inventory.ground.sheets import readers
from inventory.ground.sheets.columns import of, to
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.registered import RegisterSheet
from inventory.ground.sheets.shifting import day_by_weeks
from inventory.models.season import Event, Season
from inventory.models.sku import Sku
from inventory.models.sku_pair import SkuPair


class Seasons(RegisterSheet):
    """One row a season that is bought for."""

    name = "seasons"
    title = "Seasons"
    model = Season
    into = SEASONS
    key = ("name",)
    columns = (
        of(Season, "name", heading="season", read=readers.code, example="Season 2027"),
        of(Season, "first_day", example="2026-11-01", shift=day_by_weeks),
        of(Season, "last_day", example="2027-09-30", shift=day_by_weeks),
        of(Season, "budget", heading="money", example="40000"),
        of(Season, "currency", example="GBP"),
        of(Season, "service", heading="chance per cent", example="95"),
        of(Season, "review_days", heading="days from order to order", example="28"),
        of(Season, "note"),
    )


class Events(RegisterSheet):
    """One row an event, and the tyres that it sells."""

    name = "events"
    title = "Events"
    model = Event
    into = EVENTS
    key = ("name", "first_day", "category")
    columns = (
        of(Event, "name", heading="event", read=readers.code, example="Spring hill climb"),
        of(Event, "where", example="Marrow Hill"),
        of(Event, "first_day", example="2027-04-10", shift=day_by_weeks),
        of(Event, "last_day", example="2027-04-11", shift=day_by_weeks),
        of(Event, "category", example="road tyres"),
        of(Event, "note"),
    )


class Pairs(RegisterSheet):
    """One row for a front and the rear that goes out with it."""

    name = "sku-pairs"
    title = "Fronts with their rears"
    model = SkuPair
    into = PAIRS
    key = ("front",)
    columns = (
        to("front", "front", Reference(Sku, "SKU"), required=True, example="TARN-CW-1857015"),
        to("rear", "rear", Reference(Sku, "SKU"), required=True, example="TARN-CW-2056015"),
        of(SkuPair, "in_sets", heading="in sets per cent", example="60"),
        of(SkuPair, "source", heading="who says so", example="orders of 2025 and 2026"),
    )
