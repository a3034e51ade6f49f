"""Holds, quotes, orders and the queue in the back office: looked at there."""

from __future__ import annotations

from django.contrib import admin

from inventory.ground.backoffice.looking import Looked, Part
from inventory.models.hold import Hold, HoldExtension, HoldLine
from inventory.models.preorder import PreOrder, PreOrderLine
from inventory.models.quote import Quote
from inventory.models.sale import Order, OrderLine

PEOPLE = ("made_by", "ended_by")


class HoldLinePart(Part):
    model = HoldLine
    fields = ("lot", "place", "quantity", "for_place", "pinned")
    joined = ("lot", "place", "hold")
    ordering = ("pk",)


class HoldExtensionPart(Part):
    model = HoldExtension
    fields = ("until_before", "until_after", "why", "extended_at", "extended_by")
    joined = ("extended_by", "hold")
    ordering = ("until_before",)


@admin.register(Hold)
class HoldAdmin(Looked):
    list_display = ("number", "customer", "what", "until", "state", "made_at", "made_by")
    list_filter = ("state",)
    date_hierarchy = "made_at"
    search_fields = ("customer__name", "what", "why", "lines__lot__code")
    ordering = ("-pk",)
    joined = ("customer", "car", "order_line__order", *PEOPLE)
    inlines = (HoldLinePart, HoldExtensionPart)


@admin.register(HoldLine)
class HoldLineAdmin(Looked):
    list_display = ("hold", "lot", "place", "quantity", "for_place", "pinned")
    search_fields = ("lot__code", "hold__customer__name")
    ordering = ("-hold", "pk")
    joined = ("hold", "lot", "place")


@admin.register(HoldExtension)
class HoldExtensionAdmin(Looked):
    list_display = ("hold", "until_before", "until_after", "why", "extended_at", "extended_by")
    date_hierarchy = "extended_at"
    search_fields = ("why", "hold__customer__name")
    ordering = ("-pk",)
    joined = ("hold", "extended_by")


@admin.register(Quote)
class QuoteAdmin(Looked):
    list_display = ("number", "customer", "what", "price", "currency", "good_until", "state")
    list_filter = ("state",)
    date_hierarchy = "made_at"
    search_fields = ("customer__name", "what", "note")
    ordering = ("-pk",)
    joined = ("customer", "car", *PEOPLE)


class OrderLinePart(Part):
    model = OrderLine
    fields = (
        *("position", "what", "asks", "quantity", "sent", "cancelled", "price", "step"),
        "currency",
    )
    joined = ("order", "sku")
    ordering = ("position",)


@admin.register(Order)
class OrderAdmin(Looked):
    list_display = ("number", "customer", "reference", "wanted_on", "state", "made_at", "made_by")
    list_filter = ("state",)
    date_hierarchy = "made_at"
    search_fields = ("customer__name", "reference", "note", "lines__sku__code")
    ordering = ("-pk",)
    joined = ("customer", "car", *PEOPLE)
    inlines = (OrderLinePart,)


@admin.register(OrderLine)
class OrderLineAdmin(Looked):
    list_display = ("order", "position", "what", "asks", "quantity", "sent", "cancelled", "price")
    list_filter = ("asks", "cancelled")
    search_fields = ("what", "sku__code", "order__customer__name")
    ordering = ("-order", "position")
    joined = ("order", "sku", "quote")


class PreOrderLinePart(Part):
    model = PreOrderLine
    fields = ("expected", "quantity")
    joined = ("expected__sku", "pre_order")
    ordering = ("pk",)


@admin.register(PreOrder)
class PreOrderAdmin(Looked):
    list_display = ("number", "customer", "what", "promised_on", "if_short", "state", "queued_at")
    list_filter = ("state", "if_short")
    date_hierarchy = "queued_at"
    search_fields = ("customer__name", "what", "note")
    ordering = ("queued_at", "pk")
    joined = ("customer", "car", "order_line__order", "hold", "queued_by", "ended_by")
    inlines = (PreOrderLinePart,)


@admin.register(PreOrderLine)
class PreOrderLineAdmin(Looked):
    list_display = ("pre_order", "expected", "quantity")
    search_fields = ("expected__sku__code", "pre_order__customer__name")
    ordering = ("-pre_order", "pk")
    joined = ("pre_order", "expected__sku")
