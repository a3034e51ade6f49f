"""Outings of vans in the back office: looked at there, done on the shop's own pages."""

from __future__ import annotations

from django.contrib import admin

from inventory.ground.backoffice.looking import Looked
from inventory.models.outing import Outing


@admin.register(Outing)
class OutingAdmin(Looked):
    list_display = ("number", "van", "home", "meeting", "day", "opened_by", "ended_at", "ended_by")
    list_filter = ("van", "home")
    date_hierarchy = "day"
    search_fields = ("meeting", "note")
    ordering = ("-pk",)
    joined = ("van", "home", "opened_by", "ended_by")
