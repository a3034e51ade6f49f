"""Alerts in the back office: looked at there, answered on their own pages."""

from __future__ import annotations

from django.contrib import admin

from inventory.ground.backoffice.looking import Looked
from inventory.models.alert import AgeingAlert, Alert, AlertOverride


@admin.register(Alert)
class AlertAdmin(Looked):
    list_display = (
        *("sku", "cause", "order_by", "first_risk", "free", "need", "pieces", "cost"),
        *("supplier", "raised_at", "seen_at", "ended_at"),
    )
    list_filter = ("cause", "category")
    date_hierarchy = "raised_at"
    search_fields = ("sku__code", "sentence")
    ordering = ("-pk",)
    joined = ("sku", "supplier", "batch", "acknowledged_by", "left_by")


@admin.register(AlertOverride)
class AlertOverrideAdmin(Looked):
    list_display = ("alert", "pieces", "tool_pieces", "why", "made_at", "made_by")
    search_fields = ("alert__sku__code", "why")
    ordering = ("-pk",)
    joined = ("alert", "made_by")


@admin.register(AgeingAlert)
class AgeingAlertAdmin(Looked):
    list_display = (
        *("lot", "crosses_on", "pieces", "expected_left", "money", "suggestion"),
        *("raised_at", "seen_at", "ended_at"),
    )
    list_filter = ("suggestion",)
    date_hierarchy = "crosses_on"
    search_fields = ("lot__code", "lot__sku__code")
    ordering = ("-pk",)
    joined = ("lot", "acknowledged_by", "left_by")
