"""What is expected, in the back office: it follows from the orders to suppliers."""

from __future__ import annotations

from django.contrib import admin

from inventory.ground.backoffice.looking import Looked
from inventory.models.expected import ExpectedDelivery


@admin.register(ExpectedDelivery)
class ExpectedDeliveryAdmin(Looked):
    list_display = ("sku", "quantity", "expected_on", "first_expected_on", "reference", "state")
    list_filter = ("state",)
    date_hierarchy = "expected_on"
    search_fields = ("sku__code", "reference")
    ordering = ("expected_on", "pk")
    joined = ("sku", "made_by", "ended_by")
