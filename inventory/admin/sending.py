"""Picking, despatch, returns and customers' complaints in the back office: looked at there."""

from __future__ import annotations

from typing import Any

from django.contrib import admin
from django.db.models import QuerySet
from django.http import HttpRequest

from inventory.ground.backoffice.looking import Looked, Part
from inventory.models.complaint import ComplaintPicture, CustomerComplaint
from inventory.models.despatch import Despatch, DespatchLine
from inventory.models.pick import PickLine, PickList
from inventory.models.returned import Return, ReturnLine


class PickLinePart(Part):
    model = PickLine
    fields = (
        *("lot", "place", "for_place", "quantity", "state", "taken", "taken_lot", "confirmed"),
        "why",
    )
    joined = ("lot", "place", "taken_lot", "pick_list")
    ordering = ("place__walk", "pk")


@admin.register(PickList)
class PickListAdmin(Looked):
    list_display = ("number", "order", "to_place", "state", "made_at", "packed_at", "ended_at")
    list_filter = ("state",)
    date_hierarchy = "made_at"
    search_fields = ("order__customer__name", "lines__lot__code")
    ordering = ("-pk",)
    joined = ("order", "to_place", "made_by", "word_by", "packed_by", "ended_by")
    inlines = (PickLinePart,)


@admin.register(PickLine)
class PickLineAdmin(Looked):
    list_display = (
        *("pick_list", "lot", "place", "for_place", "quantity", "state", "taken", "taken_lot"),
        *("confirmed", "why"),
    )
    list_filter = ("state", "confirmed")
    search_fields = ("lot__code", "why")
    ordering = ("-pick_list", "pk")
    joined = (
        *("pick_list", "hold", "lot", "place", "taken_lot", "taken_place", "picked_by"),
        "instead_of",
    )


class DespatchLinePart(Part):
    model = DespatchLine
    fields = ("lot", "place", "for_place", "quantity", "order_line", "hold")
    joined = ("lot", "place", "order_line", "hold", "despatch")
    ordering = ("pk",)


@admin.register(Despatch)
class DespatchAdmin(Looked):
    list_display = ("number", "order", "customer", "carrier", "parcels", "despatched_at", "word_by")
    date_hierarchy = "despatched_at"
    search_fields = ("customer__name", "carrier", "lines__lot__code")
    ordering = ("-pk",)
    joined = ("order", "customer", "pick_list", "posting", "despatched_by", "word_by")
    inlines = (DespatchLinePart,)


@admin.register(DespatchLine)
class DespatchLineAdmin(Looked):
    list_display = ("despatch", "lot", "for_place", "quantity", "order_line")
    search_fields = ("lot__code", "lot__sku__code", "despatch__customer__name")
    ordering = ("-despatch", "pk")
    joined = ("despatch", "lot", "place", "order_line", "hold")


class ReturnLinePart(Part):
    model = ReturnLine
    fields = ("despatch_line", "quantity", "condition", "into_lot", "place", "note")
    joined = ("despatch_line", "into_lot", "place", "came_back")
    ordering = ("pk",)


@admin.register(Return)
class ReturnAdmin(Looked):
    list_display = ("number", "despatch", "customer", "reason", "returned_at", "returned_by")
    list_filter = ("reason",)
    date_hierarchy = "returned_at"
    search_fields = ("customer__name", "note", "lines__into_lot__code")
    ordering = ("-pk",)
    joined = ("despatch", "customer", "posting", "returned_by")
    inlines = (ReturnLinePart,)


@admin.register(ReturnLine)
class ReturnLineAdmin(Looked):
    list_display = ("came_back", "despatch_line", "quantity", "condition", "into_lot", "place")
    list_filter = ("condition",)
    search_fields = ("into_lot__code", "note")
    ordering = ("-came_back", "pk")
    joined = ("came_back", "despatch_line", "into_lot", "place")


@admin.register(CustomerComplaint)
class CustomerComplaintAdmin(Looked):
    list_display = ("number", "customer", "lot", "quantity", "state", "outcome", "opened_at")
    list_filter = ("state", "outcome")
    date_hierarchy = "opened_at"
    search_fields = ("customer__name", "lot__code", "says", "maker_reference")
    ordering = ("-pk",)
    joined = (
        *("customer", "despatch_line", "lot", "supplier", "opened_by", "sent_on_by", "closed_by"),
    )


@admin.register(ComplaintPicture)
class ComplaintPictureAdmin(Looked):
    """The pictures themselves are handed out by the page of the complaint."""

    fields = ("complaint", "name", "digest", "media_type", "added_at", "added_by")
    list_display = ("complaint", "name", "media_type", "added_at", "added_by")
    search_fields = ("name", "complaint__customer__name")
    ordering = ("-complaint", "pk")
    joined = ("complaint", "added_by")

    def get_queryset(self, request: HttpRequest) -> QuerySet[Any]:
        return super().get_queryset(request).defer("content")
