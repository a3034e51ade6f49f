"""Goods on consignment in the back office: looked at there, done on the shop's own pages."""

from __future__ import annotations

from django.contrib import admin

from inventory.ground.backoffice.looking import Looked
from inventory.models.consignment import ConsignedLot, Consignment, ConsignmentStep


@admin.register(Consignment)
class ConsignmentAdmin(Looked):
    list_display = ("number", "supplier", "reference", "due_on", "taken_at", "taken_by")
    date_hierarchy = "due_on"
    search_fields = ("supplier__code", "supplier__name", "reference", "note")
    ordering = ("-pk",)
    joined = ("supplier", "taken_by")


@admin.register(ConsignedLot)
class ConsignedLotAdmin(Looked):
    list_display = ("consignment", "lot", "quantity", "price")
    search_fields = ("lot__code", "lot__sku__code")
    ordering = ("-pk",)
    joined = ("consignment", "lot")


@admin.register(ConsignmentStep)
class ConsignmentStepAdmin(Looked):
    list_display = (
        *("consignment", "kind", "lot", "place", "quantity", "into", "unit_cost"),
        *("posting", "done_at", "done_by"),
    )
    list_filter = ("kind",)
    search_fields = ("lot__code", "into__code")
    ordering = ("-pk",)
    joined = ("consignment", "lot", "place", "into", "posting", "done_by")
