"""Tyre makers, patterns, compounds, companions and suppliers in the back office."""

from __future__ import annotations

from django.contrib import admin

from inventory.activities import cataloguing
from inventory.ground.backoffice.entering import Kept, Versioned
from inventory.models.companion import Companion
from inventory.models.maker import Compound, Pattern, TyreMaker
from inventory.models.supplier import Supplier


@admin.register(TyreMaker)
class TyreMakerAdmin(Versioned):
    fields = ("code", "name", "country", "seen")
    list_display = ("name", "code", "country")
    search_fields = ("name", "code")
    ordering = ("name", "pk")
    make = staticmethod(cataloguing.make_tyre_maker)
    change = staticmethod(cataloguing.change_tyre_maker)
    called = "maker"


@admin.register(Pattern)
class PatternAdmin(Versioned):
    fields = (
        *("maker", "name", "introduced", "withdrawn", "remade_since", "tread", "shoulder"),
        *("use", "weather", "note", "seen"),
    )
    list_display = ("name", "maker", "introduced", "withdrawn", "remade_since", "tread", "use")
    list_filter = ("tread", "use", "weather")
    search_fields = ("name", "maker__name")
    autocomplete_fields = ("maker",)
    ordering = ("maker__name", "name", "pk")
    joined = ("maker",)
    make = staticmethod(cataloguing.make_pattern)
    change = staticmethod(cataloguing.change_pattern)
    called = "pattern"


@admin.register(Compound)
class CompoundAdmin(Versioned):
    fields = (
        *("maker", "code", "temperature_from_c", "temperature_to_c", "axle_only", "successor"),
        *("year", "seen"),
    )
    list_display = ("code", "maker", "temperature_from_c", "temperature_to_c", "axle_only", "year")
    list_filter = ("axle_only", "year")
    search_fields = ("code", "maker__name")
    autocomplete_fields = ("maker", "successor")
    ordering = ("maker__name", "code", "pk")
    joined = ("maker",)
    make = staticmethod(cataloguing.make_compound)
    change = staticmethod(cataloguing.change_compound)
    called = "compound"


@admin.register(Companion)
class CompanionAdmin(Kept):
    fields = (
        *("tyre", "size_text", "rim_kind", "valve", "companion", "need", "per_tyre", "source"),
        "size_key",
    )
    readonly_fields = ("size_key",)
    list_display = ("tyre", "size_text", "rim_kind", "valve", "companion", "need", "per_tyre")
    list_filter = ("need", "rim_kind")
    search_fields = ("tyre__code", "size_text", "companion__code")
    autocomplete_fields = ("tyre", "companion")
    ordering = ("size_key", "pk")
    joined = ("tyre", "companion")
    make = staticmethod(cataloguing.make_companion)
    change = staticmethod(cataloguing.change_companion)
    called = "companion_rule"


@admin.register(Supplier)
class SupplierAdmin(Kept):
    fields = ("code", "name", "email", "telephone", "note")
    list_display = ("name", "code", "email", "telephone")
    search_fields = ("name", "code")
    ordering = ("name", "pk")
    make = staticmethod(cataloguing.make_supplier)
    change = staticmethod(cataloguing.change_supplier)
    called = "supplier"
