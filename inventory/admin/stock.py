"""Lots, blocks and the ledger in the back office: to be looked at; a block is placed and lifted."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import admin
from django.db.models import Model
from django.http import HttpRequest

from inventory.activities import blocking
from inventory.ground.backoffice.entering import EnteredForm, Kept
from inventory.ground.backoffice.looking import Looked, Part
from inventory.models.balance import Balance
from inventory.models.lot import Block, Lot
from inventory.models.posting import LedgerLine, Posting


class BalancePart(Part):
    model = Balance
    fields = ("place", "on_hand", "held")
    joined = ("place",)
    ordering = ("place__walk", "pk")


class BlockPart(Part):
    model = Block
    fields = ("reason", "note", "placed_at", "placed_by", "lifted_at", "lifted_by", "lifted_why")
    joined = ("placed_by", "lifted_by", "lot")
    ordering = ("-pk",)


@admin.register(Lot)
class LotAdmin(Looked):
    list_display = (
        *("code", "sku", "date_code", "mark", "mark_issue", "delivery", "received_on"),
        *("owner", "condition"),
    )
    list_filter = ("owner", "condition", "received_on")
    search_fields = ("code", "sku__code", "date_code", "delivery", "mark")
    ordering = ("sku__code", "week_index", "pk")
    joined = ("sku", "owner_customer", "owner_supplier", "made_from", "recorded_by")
    inlines = (BalancePart, BlockPart)


class BlockForm(EnteredForm):
    """A block placed with its reason, or lifted with one."""

    names = {"why": "lifted_why"}
    lifted_why = forms.CharField(
        label="why it is lifted", required=False, widget=forms.Textarea, max_length=4000
    )

    def values(self) -> dict[str, Any]:
        if self.instance.pk is None:
            return {name: self.cleaned_data[name] for name in ("lot", "reason", "note")}
        return {"why": self.cleaned_data["lifted_why"]}


@admin.register(Block)
class BlockAdmin(Kept):
    form = BlockForm
    list_display = ("lot", "reason", "placed_at", "placed_by", "lifted_at", "lifted_by")
    list_filter = ("reason", ("lifted_at", admin.EmptyFieldListFilter))
    search_fields = ("lot__code", "lot__sku__code", "note")
    autocomplete_fields = ("lot",)
    ordering = ("-placed_at", "-pk")
    joined = ("lot", "placed_by", "lifted_by")
    make = staticmethod(blocking.block)
    change = staticmethod(blocking.lift)
    called = "block"

    def get_fields(self, request: HttpRequest, obj: Model | None = None) -> Any:
        told = ("lot", "reason", "note")
        if obj is None:
            return told
        return (*told, "placed_at", "placed_by", "lifted_at", "lifted_by", "lifted_why")

    def get_readonly_fields(self, request: HttpRequest, obj: Any = None) -> Any:
        if obj is None:
            return ()
        lifted = () if obj.lifted_at is None else ("lifted_why",)
        return (
            "lot",
            "reason",
            "note",
            "placed_at",
            "placed_by",
            "lifted_at",
            "lifted_by",
            *lifted,
        )

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        stands = obj is None or obj.lifted_at is None
        return stands and super().has_change_permission(request, obj)

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False


class LinePart(Part):
    model = LedgerLine
    fields = ("lot", "place", "on_hand_change", "held_change")
    joined = ("lot", "place")
    ordering = ("pk",)


@admin.register(Posting)
class PostingAdmin(Looked):
    list_display = ("id", "kind", "at", "recorded_at", "recorded_by", "document", "corrects")
    list_filter = ("kind",)
    date_hierarchy = "at"
    search_fields = ("document", "note", "lines__lot__code", "lines__place__code")
    ordering = ("-pk",)
    joined = ("recorded_by", "corrects")
    inlines = (LinePart,)


@admin.register(LedgerLine)
class LedgerLineAdmin(Looked):
    list_display = ("id", "posting", "lot", "place", "on_hand_change", "held_change")
    search_fields = ("lot__code", "lot__sku__code", "place__code")
    ordering = ("-pk",)
    joined = ("posting", "lot", "place")


@admin.register(Balance)
class BalanceAdmin(Looked):
    list_display = ("lot", "sku", "place", "on_hand", "held")
    list_filter = ("place__site", "place__kind")
    search_fields = ("lot__code", "lot__sku__code", "place__code")
    ordering = ("lot__sku__code", "lot", "pk")
    joined = ("lot__sku", "place")

    @admin.display(description="SKU", ordering="lot__sku__code")
    def sku(self, balance: Balance) -> str:
        """The SKU of the lot."""
        return str(balance.lot.sku)
