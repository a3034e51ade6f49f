"""Form fields that take a scan: the label of a SKU, of a place, of a lot."""

from __future__ import annotations

from typing import Any

from django import forms

from inventory.ground.fields import one_line
from inventory.models.lot import Lot
from inventory.models.place import Place
from inventory.models.sku import Sku
from stockist.goods_in.scans import lot_named, place_named, skus_named

LONGEST_SCAN = 120
PLAIN = {"autocomplete": "off", "autocapitalize": "off", "spellcheck": "false"}


class ScanField(forms.CharField):
    """A text that a scanner types."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("max_length", LONGEST_SCAN)
        kwargs.setdefault("validators", [one_line])
        super().__init__(**kwargs)
        self.widget.attrs |= PLAIN


class SkuField(ScanField):
    """One SKU by its code or its article number."""

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        found = skus_named(text) if text else []
        if len(found) > 1:
            codes = " or ".join(sku.code for sku in found)
            raise forms.ValidationError(f"“{text}” stands for several: say which, {codes}.")
        if text and not found:
            raise forms.ValidationError(f"“{text}” was read, and the code of a SKU is wanted.")
        return found[0] if found else None

    def prepare_value(self, value: Any) -> Any:
        return value.code if isinstance(value, Sku) else value


class PlaceField(ScanField):
    """One place by its label."""

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        found = place_named(text) if text else None
        if text and found is None:
            raise forms.ValidationError(f"“{text}” was read, and the label of a place is wanted.")
        return found

    def prepare_value(self, value: Any) -> Any:
        return value.code if isinstance(value, Place) else value


class LotField(ScanField):
    """One lot by its label."""

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        found = lot_named(text) if text else None
        if text and found is None:
            raise forms.ValidationError(f"“{text}” was read, and the label of a lot is wanted.")
        return found

    def prepare_value(self, value: Any) -> Any:
        return value.code if isinstance(value, Lot) else value
