"""SKUs and the numbers that belong to them in the back office."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import admin

from inventory.activities import cataloguing
from inventory.ground.backoffice.entering import Versioned, VersionedForm
from inventory.ground.backoffice.looking import Looked
from inventory.models.sku import Gtin, Sku, TypeApproval

SEPARATOR = ";"
READ_FROM_SIZE = (
    *("size", "family", "width_mm", "aspect", "construction", "rim_mm", "bead", "overall_mm"),
    *("overall_basis", "section_mm", "load_index", "load_index_dual", "speed"),
    *("speed_in_size", "top_speed_kmh"),
)


class SkuForm(VersionedForm):
    """A SKU with its article numbers and type approvals in one line each."""

    names = {"gtins": "numbers", "type_approvals": "approved_under"}
    numbers = forms.CharField(
        label="GTINs", required=False, max_length=1000, help_text="Several are parted by ;"
    )
    approved_under = forms.CharField(
        label="type approvals",
        required=False,
        max_length=1000,
        help_text="Scheme and number, such as UN R30 0212345; several are parted by ;",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk is not None and "numbers" in self.fields:
            self.fields["numbers"].initial = gtins_of(self.instance)
            self.fields["approved_under"].initial = type_approvals_of(self.instance)

    def clean_numbers(self) -> list[str]:
        """As the activity takes them."""
        return parted(self.cleaned_data["numbers"])

    def clean_approved_under(self) -> list[tuple[str, str]]:
        """Scheme and number, parted at the last blank."""
        told = [tuple(part.rsplit(None, 1)) for part in parted(self.cleaned_data["approved_under"])]
        wrong = next((part for part in told if len(part) != 2), None)
        if wrong:
            words = f"“{wrong[0][:40]}” is not a scheme with a number, such as UN R30 0212345."
            raise forms.ValidationError(words)
        return [(scheme, number) for scheme, number in told]

    def values(self) -> dict[str, Any]:
        activity = {shown: name for name, shown in self.names.items()}
        return {activity.get(name, name): value for name, value in super().values().items()}


def gtins_of(sku: Sku) -> str:
    """The article numbers of a SKU in one line."""
    return f"{SEPARATOR} ".join(gtin.number for gtin in sku.gtins.all())


def type_approvals_of(sku: Sku) -> str:
    """The type approvals of a SKU in one line."""
    return f"{SEPARATOR} ".join(str(number) for number in sku.type_approvals.all())


def parted(text: str) -> list[str]:
    """What stands between the separators."""
    return [part.strip() for part in text.split(SEPARATOR) if part.strip()]


@admin.register(Sku)
class SkuAdmin(Versioned):
    form = SkuForm
    fieldsets = (
        (None, {"fields": ("code", "kind", "status", "expected_on", "seen")}),
        ("What it is", {"fields": ("maker", "pattern", "compound", "name", "size_text", "tube")}),
        ("Marks", {"fields": ("mark", "mark_issue", "numbers", "approved_under")}),
        (
            "Its kind",
            {"fields": ("axle_only", "hand", "ply", "sidewall", "band_mm", "weight_kg", "note")},
        ),
        (
            "As its maker states",
            {
                "fields": (
                    *("stated_overall_mm", "rim_width_min_in", "rim_width_max_in", "max_load_kg"),
                    *("load_pressure_kpa", "maker_top_speed_kmh"),
                )
            },
        ),
        ("Price", {"fields": ("price", "currency")}),
        ("Read from the size", {"fields": READ_FROM_SIZE}),
    )
    readonly_fields = READ_FROM_SIZE
    list_display = (
        *("code", "maker", "pattern", "size", "load_index", "speed", "mark", "mark_issue"),
        *("price", "currency", "status"),
    )
    list_filter = ("kind", "status", "construction", "tube", "sidewall")
    search_fields = ("code", "size", "size_text", "mark", "maker__name", "pattern__name", "name")
    autocomplete_fields = ("maker", "pattern", "compound")
    ordering = ("code", "pk")
    joined = ("maker", "pattern__maker", "compound__maker")
    make = staticmethod(cataloguing.make_sku)
    change = staticmethod(cataloguing.change_sku)
    called = "sku"

    @admin.display(description="GTINs")
    def numbers(self, sku: Sku) -> str:
        """For who may only look."""
        return gtins_of(sku)

    @admin.display(description="type approvals")
    def approved_under(self, sku: Sku) -> str:
        """For who may only look."""
        return type_approvals_of(sku)


@admin.register(Gtin)
class GtinAdmin(Looked):
    """Article numbers are given to a SKU on the page of the SKU."""

    list_display = ("number", "stands_for")
    search_fields = ("number", "skus__code")
    ordering = ("number",)

    def get_queryset(self, request: Any) -> Any:
        return super().get_queryset(request).prefetch_related("skus")

    @admin.display(description="SKUs")
    def stands_for(self, gtin: Gtin) -> str:
        """The codes of its SKUs."""
        return ", ".join(sku.code for sku in gtin.skus.all())


@admin.register(TypeApproval)
class TypeApprovalAdmin(Looked):
    """Type-approval numbers are given to a SKU on the page of the SKU."""

    list_display = ("scheme", "number", "sku")
    list_filter = ("scheme",)
    search_fields = ("number", "sku__code")
    ordering = ("scheme", "number", "pk")
    joined = ("sku",)
