"""Seasons, events, changes, earlier sales and pairs in the back office."""

from __future__ import annotations

from django.contrib import admin

from inventory.activities import earlier_sales, seasons
from inventory.ground.backoffice.entering import Kept, Versioned
from inventory.ground.backoffice.looking import Looked
from inventory.models.earlier_sales import EarlierSales
from inventory.models.learnt import Learnt
from inventory.models.season import Event, Season, SeasonChange
from inventory.models.sku_pair import SkuPair


@admin.register(Season)
class SeasonAdmin(Versioned):
    fields = (
        *("name", "first_day", "last_day", "budget", "currency", "service", "review_days"),
        *("note", "seen"),
    )
    list_display = ("name", "first_day", "last_day", "budget", "currency", "service")
    search_fields = ("name",)
    ordering = ("-last_day", "pk")
    make = staticmethod(seasons.make_season)
    change = staticmethod(seasons.change_season)
    called = "season"


@admin.register(Event)
class EventAdmin(Versioned):
    fields = ("name", "where", "first_day", "last_day", "category", "note", "seen")
    list_display = ("name", "where", "first_day", "last_day", "category")
    list_filter = ("category",)
    date_hierarchy = "first_day"
    search_fields = ("name", "where")
    ordering = ("first_day", "pk")
    make = staticmethod(seasons.make_event)
    change = staticmethod(seasons.change_event)
    called = "event"


@admin.register(SeasonChange)
class SeasonChangeAdmin(Looked):
    """Changes are said on the page of the season."""

    list_display = ("category", "first_day", "last_day", "percent", "why", "made_at", "made_by")
    list_filter = ("category",)
    search_fields = ("why",)
    ordering = ("first_day", "pk")
    joined = ("event", "made_by", "withdrawn_by")


@admin.register(Learnt)
class LearntAdmin(Looked):
    """What the nights learnt is made by the job that finds what will run out."""

    list_display = ("learnt_at", "first_day", "last_day", "skus", "pieces")
    date_hierarchy = "learnt_at"
    ordering = ("-learnt_at", "-pk")


@admin.register(EarlierSales)
class EarlierSalesAdmin(Kept):
    fields = ("sku", "month", "sold", "asked_in_vain", "days_without", "source")
    list_display = ("sku", "month", "sold", "asked_in_vain", "days_without", "source")
    date_hierarchy = "month"
    search_fields = ("sku__code", "source")
    autocomplete_fields = ("sku",)
    ordering = ("sku__code", "month", "pk")
    joined = ("sku",)
    make = staticmethod(earlier_sales.make_month)
    change = staticmethod(earlier_sales.change_month)
    called = "entry"


@admin.register(SkuPair)
class SkuPairAdmin(Kept):
    fields = ("front", "rear", "in_sets", "source")
    list_display = ("front", "rear", "in_sets", "source")
    search_fields = ("front__code", "rear__code")
    autocomplete_fields = ("front", "rear")
    ordering = ("front__code", "pk")
    joined = ("front", "rear")
    make = staticmethod(earlier_sales.make_pair)
    change = staticmethod(earlier_sales.change_pair)
    called = "pair"
