"""Terms of suppliers and production batches in the back office."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation
from typing import Any

from django import forms
from django.contrib import admin

from inventory.activities import purchasing
from inventory.admin.skus import SEPARATOR, parted
from inventory.ground.backoffice.entering import Versioned, VersionedForm
from inventory.ground.backoffice.looking import Looked
from inventory.models.supplier_terms import PriceBreak, ProductionBatch, SupplierTerms


class TermsForm(VersionedForm):
    """Terms with their price breaks in one line."""

    breaks = forms.CharField(
        label="price breaks",
        required=False,
        max_length=500,
        help_text="From how many: price of one, such as 1: 95.00; 50: 92.00",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk is not None and "breaks" in self.fields:
            rows = (f"{one.from_quantity}: {one.unit_price}" for one in self.instance.breaks.all())
            self.fields["breaks"].initial = f"{SEPARATOR} ".join(rows)

    def clean_breaks(self) -> list[tuple[int, Decimal]]:
        """As the activity takes them."""
        return [_break(part) for part in parted(self.cleaned_data["breaks"])]


def _break(part: str) -> tuple[int, Decimal]:
    quantity, _, price = part.partition(":")
    try:
        return int(quantity), Decimal(price.strip())
    except (ValueError, InvalidOperation):
        words = f"“{part[:40]}” is no price break, such as 50: 92.00 for 50 and more."
        raise forms.ValidationError(words) from None


@admin.register(SupplierTerms)
class SupplierTermsAdmin(Versioned):
    form = TermsForm
    fields = (
        *("supplier", "sku", "their_code", "currency", "breaks", "minimum", "pack"),
        *("lead_time_days", "lead_time_spread_days", "oldest_months", "country"),
        *("pattern_issue", "note", "seen"),
    )
    list_display = (
        *("sku", "supplier", "minimum", "pack", "lead_time_days", "lead_time_spread_days"),
        "oldest_months",
    )
    list_filter = ("supplier",)
    search_fields = ("sku__code", "supplier__name", "their_code")
    autocomplete_fields = ("supplier", "sku")
    ordering = ("sku__code", "pk")
    joined = ("supplier", "sku")
    make = staticmethod(purchasing.make_terms)
    change = staticmethod(purchasing.change_terms)
    called = "terms"


@admin.register(PriceBreak)
class PriceBreakAdmin(Looked):
    """Price breaks are told on the page of the terms."""

    list_display = ("terms", "from_quantity", "unit_price")
    search_fields = ("terms__sku__code", "terms__supplier__name")
    ordering = ("terms", "from_quantity", "pk")
    joined = ("terms",)


@admin.register(ProductionBatch)
class ProductionBatchAdmin(Versioned):
    fields = ("supplier", "code", "order_by", "ready_on", "minimum_tyres", "skus", "note", "seen")
    list_display = ("code", "supplier", "order_by", "ready_on", "minimum_tyres")
    list_filter = ("supplier",)
    date_hierarchy = "order_by"
    search_fields = ("code", "supplier__name")
    autocomplete_fields = ("supplier", "skus")
    ordering = ("order_by", "pk")
    joined = ("supplier",)
    make = staticmethod(purchasing.make_batch)
    change = staticmethod(purchasing.change_batch)
    called = "batch"
