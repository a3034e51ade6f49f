"""Counts and write-offs in the back office: looked at there, done on the shop's own pages."""

from __future__ import annotations

from django.contrib import admin

from inventory.ground.backoffice.looking import Looked, Part
from inventory.models.count import Count, CountLine
from inventory.models.write_off import WriteOff


class CountLinePart(Part):
    model = CountLine
    fields = ("lot", "place", "again", "counted", "ledger_said", "counted_at", "counted_by")
    joined = ("lot", "place", "count", "counted_by")
    ordering = ("pk",)


@admin.register(Count)
class CountAdmin(Looked):
    list_display = (
        *("number", "site", "place", "sku", "state", "self_checked", "at_work_by", "started_at"),
        *("ended_by", "ended_at"),
    )
    list_filter = ("state", "self_checked", "site")
    date_hierarchy = "started_at"
    search_fields = ("place__code", "sku__code", "ended_why")
    ordering = ("-pk",)
    joined = ("site", "place", "sku", "started_by", "at_work_by", "ended_by", "posting")
    inlines = (CountLinePart,)


@admin.register(CountLine)
class CountLineAdmin(Looked):
    list_display = ("count", "lot", "place", "again", "counted", "ledger_said", "counted_by")
    list_filter = ("again",)
    search_fields = ("lot__code", "place__code")
    ordering = ("-count", "pk")
    joined = ("count", "lot", "place", "counted_by")


@admin.register(WriteOff)
class WriteOffAdmin(Looked):
    list_display = (
        *("number", "lot", "place", "quantity", "reason", "state", "self_checked", "asked_by"),
        *("asked_at", "decided_by"),
    )
    list_filter = ("state", "reason", "self_checked")
    date_hierarchy = "asked_at"
    search_fields = ("lot__code", "lot__sku__code", "why", "answer")
    ordering = ("-pk",)
    joined = ("lot", "place", "transfer", "asked_by", "decided_by", "posting")
