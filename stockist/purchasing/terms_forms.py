"""What is said of a supplier's terms, and of a production batch."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms
from django.db.models import QuerySet

from inventory.ground.fields import one_line, some_words
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier
from inventory.models.supplier_terms import ProductionBatch, SupplierTerms
from stockist.goods_in.fields import LONGEST_SCAN, SkuField
from stockist.goods_in.scans import not_wanted, skus_named
from stockist.inputs import day_input
from stockist.purchasing.forms import Seen

BREAKS = 4
"""So many price breaks have fields of their own, and two more than there are already."""
TERMS_ORDERS = {
    "": ("sku__code", "supplier__name", "pk"),
    "supplier": ("supplier__name", "sku__code", "pk"),
    "lead": ("-lead_time_days", "sku__code", "pk"),
}
BATCH_ORDERS = {
    "": ("order_by", "supplier__name", "pk"),
    "supplier": ("supplier__name", "order_by", "pk"),
    "ready": ("ready_on", "supplier__name", "pk"),
}


def suppliers(**options: Any) -> forms.ModelChoiceField[Supplier]:
    """One of the suppliers."""
    rows = Supplier.objects.order_by("name", "pk")
    return forms.ModelChoiceField(rows, label="Supplier", **options)


class TermsListForm(forms.Form):
    """Which terms are listed, and in what order."""

    supplier = suppliers(required=False, empty_label="any")
    sku = SkuField(label="SKU or GTIN", required=False)
    order = forms.ChoiceField(
        label="In order of", required=False,
        choices=(("", "SKU"), ("supplier", "supplier"), ("lead", "lead time, longest first")),
    )  # fmt: skip

    def asked(self) -> QuerySet[SupplierTerms]:
        """The terms asked for."""
        said = self.cleaned_data if self.is_valid() else {}
        rows = SupplierTerms.objects.select_related("supplier", "sku").prefetch_related("breaks")
        wanted = {name: said[name] for name in ("supplier", "sku") if said.get(name)}
        return rows.filter(**wanted).order_by(*TERMS_ORDERS[said.get("order", "")])


class BatchListForm(forms.Form):
    """Which batches are listed: those that can be ordered still, unless told otherwise."""

    supplier = suppliers(required=False, empty_label="any")
    sku = SkuField(label="Makes this SKU", required=False)
    shown = forms.ChoiceField(
        label="Which", required=False, choices=(("", "can still be ordered"), ("all", "all"))
    )
    order = forms.ChoiceField(
        label="In order of", required=False,
        choices=(("", "cut-off"), ("supplier", "supplier"), ("ready", "when it is ready")),
    )  # fmt: skip

    def asked(self, today: Any) -> QuerySet[ProductionBatch]:
        """The batches asked for."""
        said = self.cleaned_data if self.is_valid() else {}
        rows = ProductionBatch.objects.select_related("supplier").prefetch_related("skus")
        if said.get("supplier"):
            rows = rows.filter(supplier=said["supplier"])
        if said.get("sku"):
            rows = rows.filter(skus=said["sku"])
        if said.get("shown") != "all":
            rows = rows.filter(order_by__gte=today)
        return rows.order_by(*BATCH_ORDERS[said.get("order", "")])


class TermsForm(Seen):
    """What a supplier asks for a SKU; what is left empty is not agreed."""

    their_code = forms.CharField(
        label="Their code", max_length=40, required=False, validators=[one_line]
    )
    currency = forms.CharField(label="Currency", max_length=3, initial="GBP")
    minimum = forms.IntegerField(label="Least on an order", initial=1)
    pack = forms.IntegerField(label="Pieces in a pack", initial=1)
    lead_time_days = forms.IntegerField(label="Lead time, days", initial=14)
    lead_time_spread_days = forms.IntegerField(label="Days early or late, at the most", initial=0)
    oldest_months = forms.IntegerField(label="Oldest accepted on arrival, months", required=False)
    country = forms.CharField(
        label="Made in, if agreed", max_length=60, required=False, validators=[one_line]
    )
    pattern_issue = forms.CharField(
        label="Pattern issue, if agreed", max_length=20, required=False, validators=[one_line]
    )
    note = forms.CharField(label="Note", max_length=500, required=False, validators=[some_words])

    def __init__(self, *args: Any, breaks: int = 0, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.breaks = max(BREAKS, breaks + 2)
        for number in range(1, self.breaks + 1):
            self.fields[f"from_{number}"] = forms.IntegerField(label="From pieces", required=False)
            self.fields[f"price_{number}"] = forms.DecimalField(
                label="Price of one", required=False
            )

    @classmethod
    def of(cls, terms: SupplierTerms, seen: int | None) -> TermsForm:
        """The form filled in with what is agreed now."""
        names = [name for name in cls.base_fields if name not in ("idempotency_key", "seen")]
        held = {name: getattr(terms, name) for name in names if hasattr(terms, name)}
        told = list(terms.breaks.order_by("from_quantity"))
        for number, one in enumerate(told, start=1):
            held |= {f"from_{number}": one.from_quantity, f"price_{number}": one.unit_price}
        return cls(initial={**held, "seen": seen}, breaks=len(told))

    @property
    def pairs(self) -> list[tuple[forms.BoundField, forms.BoundField]]:
        """The fields of price breaks, two by two."""
        numbers = range(1, self.breaks + 1)
        return [(self[f"from_{number}"], self[f"price_{number}"]) for number in numbers]

    @property
    def single(self) -> list[forms.BoundField]:
        """The other fields that are shown."""
        paired = {field.name for pair in self.pairs for field in pair}
        return [field for field in self.visible_fields() if field.name not in paired]

    def clean(self) -> dict[str, Any]:
        said: dict[str, Any] = super().clean() or self.cleaned_data
        for number in range(1, self.breaks + 1):
            quantity, price = said.get(f"from_{number}"), said.get(f"price_{number}")
            if (quantity is None) != (price is None) and not self._at_fault(number):
                missing, words = ("price", "What does one cost?") if price is None else ("from", "")
                self.add_error(f"{missing}_{number}", words or "From how many pieces?")
        return said

    def _at_fault(self, number: int) -> bool:
        return f"from_{number}" in self.errors or f"price_{number}" in self.errors

    def values(self) -> dict[str, Any]:
        """As the activity takes them."""
        said = self.cleaned_data
        told: list[tuple[int, Decimal]] = [
            (said[f"from_{number}"], said[f"price_{number}"])
            for number in range(1, self.breaks + 1)
            if said[f"from_{number}"] is not None
        ]
        names = [name for name in said if name not in _not_the_values(self.breaks)]
        return {**{name: said[name] for name in names}, "breaks": told}


def _not_the_values(breaks: int) -> set[str]:
    paired = {f"{name}_{n}" for name in ("from", "price") for n in range(1, breaks + 1)}
    return paired | {"idempotency_key", "seen"}


class NewTermsForm(TermsForm):
    """Terms of a supplier for a SKU that has none of it yet."""

    supplier = suppliers()
    sku = SkuField(label="SKU or GTIN")

    field_order = ("supplier", "sku")


class SkusField(forms.CharField):
    """Several SKUs by code or article number, one a line; none: whatever the supplier sells."""

    def __init__(self, **kwargs: Any) -> None:
        widget = forms.Textarea({"rows": 4, "autocomplete": "off", "spellcheck": "false"})
        super().__init__(required=False, max_length=20_000, widget=widget, **kwargs)

    def clean(self, value: Any) -> list[Sku]:
        found: dict[int, Sku] = {}
        for text in (super().clean(value) or "").splitlines():
            if text.strip():
                sku = self._one(text.strip()[:LONGEST_SCAN])
                found[sku.pk] = sku
        return list(found.values())

    def _one(self, text: str) -> Sku:
        named = skus_named(text)
        if len(named) > 1:
            codes = " or ".join(sku.code for sku in named)
            raise forms.ValidationError(f"“{text}” stands for several: say which, {codes}.")
        if not named:
            raise forms.ValidationError(not_wanted(text, "the code of a SKU"))
        return named[0]


class BatchForm(Seen):
    """What is known of a run of a maker."""

    order_by = forms.DateField(label="Order by", widget=day_input())
    ready_on = forms.DateField(label="Expected on", widget=day_input())
    minimum_tyres = forms.IntegerField(label="Least of all SKUs together", initial=1)
    skus = SkusField(label="SKUs that it makes, one a line; none: all that the supplier sells")
    note = forms.CharField(label="Note", max_length=500, required=False, validators=[some_words])

    @classmethod
    def of(cls, batch: ProductionBatch, seen: int | None) -> BatchForm:
        """The form filled in with what is known now."""
        names = ("order_by", "ready_on", "minimum_tyres", "note")
        codes = batch.skus.order_by("code").values_list("code", flat=True)
        held = {name: getattr(batch, name) for name in names}
        return cls(initial={**held, "skus": "\n".join(codes), "seen": seen})

    @property
    def single(self) -> list[forms.BoundField]:
        """The fields that are shown."""
        return self.visible_fields()

    def values(self) -> dict[str, Any]:
        """As the activity takes them."""
        kept = ("idempotency_key", "seen")
        return {name: one for name, one in self.cleaned_data.items() if name not in kept}


class NewBatchForm(BatchForm):
    """A batch that is announced."""

    supplier = suppliers()
    code = forms.CharField(label="Batch", max_length=40, validators=[one_line])

    field_order = ("supplier", "code")
