"""Form fields that take a scan: the label of a SKU, of a place, of a lot."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db.models import QuerySet

from inventory.ground.fields import refuse_controls
from inventory.markings.scans import SEPARATOR
from inventory.models.lot import Lot
from inventory.models.place import Place
from inventory.models.sku import Sku
from stockist.goods_in.scans import lot_named, not_wanted, place_named, skus_named

LONGEST_SCAN = 500
MOST_NAMED = 4
PLAIN = {"autocomplete": "off", "autocapitalize": "off", "spellcheck": "false"}


def scanned_line(text: str) -> None:
    """Validator: one line, in which a scanner's separator may stand."""
    refuse_controls(text, frozenset(SEPARATOR))


class ScanField(forms.CharField):
    """A text that a scanner types."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("max_length", LONGEST_SCAN)
        kwargs.setdefault("validators", [scanned_line])
        super().__init__(**kwargs)
        self.widget.attrs |= {**PLAIN, "data-scan": True}


class SkuField(ScanField):
    """One SKU by its code or its article number."""

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        found = skus_named(text) if text else []
        if len(found) > 1:
            codes = " or ".join(sku.code for sku in found)
            raise forms.ValidationError(f"“{text}” stands for several: say which, {codes}.")
        if text and not found:
            raise forms.ValidationError(not_wanted(text, "the code of a SKU"))
        return found[0] if found else None

    def prepare_value(self, value: Any) -> Any:
        return value.code if isinstance(value, Sku) else value


class PlaceField(ScanField):
    """One place by its label."""

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        found = place_named(text) if text else None
        if text and found is None:
            raise forms.ValidationError(not_wanted(text, "the label of a place"))
        return found

    def prepare_value(self, value: Any) -> Any:
        return value.code if isinstance(value, Place) else value


class LotField(ScanField):
    """One lot by its label; or by that of its SKU, where only one lot of it is among ``lots``."""

    lots: QuerySet[Lot] | None = None

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        found = lot_named(text) or self._only_one(text) if text else None
        if text and found is None:
            raise forms.ValidationError(not_wanted(text, "the label of a lot"))
        return found

    def _only_one(self, text: str) -> Lot | None:
        if self.lots is None:
            return None
        rows = self.lots.filter(sku__in=[sku.pk for sku in skus_named(text)])
        found = list(rows.select_related("sku").order_by("code").distinct()[: MOST_NAMED + 1])
        if len(found) > 1:
            codes = ", ".join(lot.code for lot in found[:MOST_NAMED])
            raise forms.ValidationError(
                f"Several lots of it are here ({codes}): scan the label of the lot."
            )
        return found[0] if found else None

    def prepare_value(self, value: Any) -> Any:
        return value.code if isinstance(value, Lot) else value
