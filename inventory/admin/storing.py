"""Customers' tyres in the back office: looked at there, done on the shop's own pages."""

from __future__ import annotations

from django.contrib import admin

from inventory.ground.backoffice.looking import Looked
from inventory.models.storage import Storage, StorageExtension, StoredLot


@admin.register(Storage)
class StorageAdmin(Looked):
    list_display = (
        *("number", "customer", "car", "due_on", "taken_in_at", "taken_in_by"),
        *("ended_at", "ended_by", "handed_to"),
    )
    date_hierarchy = "due_on"
    search_fields = ("customer__name", "note", "handed_to")
    ordering = ("-pk",)
    joined = ("customer", "car", "taken_in_by", "ended_by")


@admin.register(StoredLot)
class StoredLotAdmin(Looked):
    list_display = ("storage", "lot", "quantity")
    search_fields = ("lot__code", "lot__sku__code")
    ordering = ("-pk",)
    joined = ("storage", "lot")


@admin.register(StorageExtension)
class StorageExtensionAdmin(Looked):
    list_display = ("storage", "due_before", "due_after", "why", "extended_at", "extended_by")
    search_fields = ("why", "storage__customer__name")
    ordering = ("-pk",)
    joined = ("storage", "extended_by")
