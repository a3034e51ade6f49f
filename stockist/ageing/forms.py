"""What is asked of ageing stock."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.db.models import F, QuerySet

from inventory.models.alert import AgeingAlert, Suggestion
from inventory.models.place import Site
from stockist.reorder.forms import SHOWN

ORDERS: dict[str, tuple[str, list[Any]]] = {
    "": ("the day it crosses", ["crosses_on", "pk"]),
    "money": ("the money at stake", [F("money").desc(nulls_last=True), "pk"]),
    "sku": ("SKU", ["lot__sku__code", "pk"]),
}


class AgeingForm(forms.Form):
    """Which lots are listed, and in what order."""

    q = forms.CharField(label="Lot or SKU", max_length=60, required=False)
    site = forms.ModelChoiceField(
        label="Site", queryset=Site.objects.order_by("code"), required=False, empty_label="any"
    )
    suggestion = forms.ChoiceField(
        label="Suggestion", choices=[("", "any"), *Suggestion.choices], required=False
    )
    shown = forms.ChoiceField(label="Shown", choices=SHOWN, required=False)
    by = forms.ChoiceField(
        label="In order of", choices=[(key, words) for key, (words, _) in ORDERS.items()],
        required=False,
    )  # fmt: skip

    def alerts(self, today: date) -> QuerySet[AgeingAlert]:
        """The alerts asked for, in their order."""
        said: dict[str, Any] = self.cleaned_data if self.is_valid() else {}
        rows: QuerySet[AgeingAlert] = AgeingAlert.objects.standing()
        if said.get("shown", "") == "":
            rows = AgeingAlert.objects.shown(today)
        elif said["shown"] == "left":
            rows = rows.filter(left_until__gt=today)
        if said.get("suggestion"):
            rows = rows.filter(suggestion=said["suggestion"])
        if said.get("site"):
            rows = rows.filter(told__sites__has_key=said["site"].code)
        if said.get("q"):
            rows = rows.filter(lot__code__icontains=said["q"]) | rows.filter(
                lot__sku__code__icontains=said["q"]
            )
        order = ORDERS[said.get("by", "")][1]
        return rows.select_related("lot__sku").order_by(*order)
