"""What customers pay less, and what older stock costs less, in the back office."""

from __future__ import annotations

from django.contrib import admin

from inventory.activities import cataloguing
from inventory.ground.backoffice.entering import Kept
from inventory.models.pricing import AgeStep, PriceClass


@admin.register(PriceClass)
class PriceClassAdmin(Kept):
    fields = ("code", "name", "percent_off")
    list_display = ("code", "name", "percent_off")
    search_fields = ("code", "name")
    ordering = ("code", "pk")
    make = staticmethod(cataloguing.make_price_class)
    change = staticmethod(cataloguing.change_price_class)
    called = "price_class"


@admin.register(AgeStep)
class AgeStepAdmin(Kept):
    fields = ("from_months", "percent_off")
    list_display = ("from_months", "percent_off")
    search_fields = ("from_months",)
    ordering = ("from_months", "pk")
    make = staticmethod(cataloguing.make_age_step)
    change = staticmethod(cataloguing.change_age_step)
    called = "step"
