"""Orders to suppliers, deliveries, complaints and transfers in the back office: looked at there.

They go step by step, each on its own page of the shop.
"""

from __future__ import annotations

from django.contrib import admin

from inventory.ground.backoffice.looking import Looked, Part
from inventory.models.delivery import Delivery, DeliveryLine, DeliveryNoteLine
from inventory.models.purchase import PurchaseLine, PurchaseOrder
from inventory.models.supplier_complaint import SupplierComplaint
from inventory.models.transfer import Transfer, TransferLine


class PurchaseLinePart(Part):
    model = PurchaseLine
    fields = (
        *("sku", "quantity", "unit_price", "expected_on", "received", "disputed", "waived"),
        "over",
    )
    joined = ("sku", "order", "expected")
    ordering = ("sku__code", "pk")


@admin.register(PurchaseOrder)
class PurchaseOrderAdmin(Looked):
    list_display = ("number", "supplier", "batch", "state", "made_at", "sent_at", "ended_at")
    list_filter = ("state", "supplier")
    date_hierarchy = "made_at"
    search_fields = ("their_reference", "supplier__name", "note", "lines__sku__code")
    ordering = ("-pk",)
    joined = ("supplier", "batch", "deliver_to", "made_by", "sent_by", "ended_by")
    inlines = (PurchaseLinePart,)


@admin.register(PurchaseLine)
class PurchaseLineAdmin(Looked):
    list_display = (
        *("order", "sku", "quantity", "unit_price", "expected_on", "received", "disputed"),
        "waived",
    )
    search_fields = ("sku__code", "order__supplier__name")
    ordering = ("-order", "pk")
    joined = ("order", "sku", "expected__sku")


class NotePart(Part):
    model = DeliveryNoteLine
    fields = ("sku", "quantity")
    joined = ("sku", "delivery")
    ordering = ("sku__code", "pk")


class DeliveryLinePart(Part):
    model = DeliveryLine
    fields = (
        *("sku", "quantity", "date_code", "mark", "mark_issue", "country", "disagrees", "says"),
        *("over", "lot"),
    )
    joined = ("sku", "lot", "delivery")
    ordering = ("pk",)


@admin.register(Delivery)
class DeliveryAdmin(Looked):
    list_display = ("number", "supplier", "note_number", "arrived_on", "state", "at_work_by")
    list_filter = ("state", "supplier")
    date_hierarchy = "arrived_on"
    search_fields = ("note_number", "supplier__name")
    ordering = ("-pk",)
    joined = (
        *("supplier", "order", "place", "quarantine", "opened_by", "at_work_by", "ended_by"),
        "posting",
    )
    inlines = (NotePart, DeliveryLinePart)


@admin.register(DeliveryLine)
class DeliveryLineAdmin(Looked):
    list_display = ("delivery", "sku", "quantity", "date_code", "mark", "disagrees", "lot")
    list_filter = ("disagrees",)
    search_fields = ("sku__code", "date_code", "lot__code")
    ordering = ("-delivery", "pk")
    joined = ("delivery", "sku", "order_line", "lot", "over_lot", "entered_by")


@admin.register(DeliveryNoteLine)
class DeliveryNoteLineAdmin(Looked):
    list_display = ("delivery", "sku", "quantity")
    search_fields = ("sku__code", "delivery__note_number")
    ordering = ("-delivery", "pk")
    joined = ("delivery", "sku")


@admin.register(SupplierComplaint)
class SupplierComplaintAdmin(Looked):
    list_display = (
        *("number", "supplier", "sku", "reason", "quantity", "state", "settlement", "opened_at"),
    )
    list_filter = ("state", "reason", "settlement", "supplier")
    date_hierarchy = "opened_at"
    search_fields = ("sku__code", "supplier__name", "their_reference", "says")
    ordering = ("-pk",)
    joined = (
        *("supplier", "delivery", "delivery_line", "order_line", "sku", "lot", "opened_by"),
        *("sent_by", "settled_by", "sent_back"),
    )


class TransferLinePart(Part):
    model = TransferLine
    fields = ("lot", "quantity", "arrived", "missing")
    joined = ("lot", "transfer")
    ordering = ("pk",)


@admin.register(Transfer)
class TransferAdmin(Looked):
    list_display = ("number", "from_site", "to_site", "state", "sent_at", "sent_by", "ended_at")
    list_filter = ("state", "from_site", "to_site")
    date_hierarchy = "sent_at"
    search_fields = ("carrier", "note", "lines__lot__code")
    ordering = ("-pk",)
    joined = ("from_site", "to_site", "through", "outing", "sent_by", "at_work_by", "ended_by")
    inlines = (TransferLinePart,)


@admin.register(TransferLine)
class TransferLineAdmin(Looked):
    list_display = ("transfer", "lot", "quantity", "arrived", "missing")
    search_fields = ("lot__code",)
    ordering = ("-transfer", "pk")
    joined = ("transfer", "lot")
