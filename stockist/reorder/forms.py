"""What the buyer asks of the alerts, and says to one."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db.models import F, QuerySet

from inventory.ground.fields import one_line
from inventory.ground.idempotency import KeyedForm
from inventory.models.alert import CAUSES, Alert
from inventory.models.season import Category
from inventory.models.supplier import Supplier

ORDERS: dict[str, tuple[str, list[Any]]] = {
    "": ("the day to order", [F("order_by").asc(nulls_last=True), "first_risk", "pk"]),
    "risk": ("the day it may run out", ["first_risk", "pk"]),
    "cost": ("what it costs, most first", [F("cost").desc(nulls_last=True), "pk"]),
    "sku": ("SKU", ["sku__code", "pk"]),
}
SHOWN = (("", "to be seen to"), ("left", "left until later"), ("all", "all that stand"))


class AlertsForm(forms.Form):
    """Which alerts are listed, and in what order."""

    q = forms.CharField(label="SKU or size", max_length=60, required=False)
    cause = forms.ChoiceField(label="Cause", choices=[("", "any"), *CAUSES], required=False)
    category = forms.ChoiceField(
        label="Tyres", choices=[("", "any"), *Category.choices], required=False
    )
    supplier = forms.ModelChoiceField(
        label="Supplier", queryset=Supplier.objects.order_by("name"), required=False,
        empty_label="any",
    )  # fmt: skip
    shown = forms.ChoiceField(label="Shown", choices=SHOWN, required=False)
    by = forms.ChoiceField(
        label="In order of", choices=[(key, words) for key, (words, _) in ORDERS.items()],
        required=False,
    )  # fmt: skip

    def alerts(self, today: Any) -> QuerySet[Alert]:
        """The alerts asked for, in their order."""
        said = self.cleaned_data if self.is_valid() else {}
        rows: QuerySet[Alert] = Alert.objects.standing()
        if said.get("shown", "") == "":
            rows = Alert.objects.shown(today)
        elif said["shown"] == "left":
            rows = rows.filter(left_until__gt=today)
        for name in ("cause", "category", "supplier"):
            if said.get(name):
                rows = rows.filter(**{name: said[name]})
        if said.get("q"):
            rows = rows.filter(sku__code__icontains=said["q"]) | rows.filter(
                sku__size__icontains=said["q"]
            )
        order = ORDERS[said.get("by", "")][1]
        return rows.select_related("sku", "supplier", "batch").order_by(*order)


class Answer(KeyedForm):
    """One of several forms on a page: its fields are called after it there."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("auto_id", f"{type(self).__name__.lower()}_%s")
        super().__init__(*args, **kwargs)


class LeaveForm(Answer):
    """Until when it is left, and why."""

    until = forms.DateField(label="Leave until", widget=forms.DateInput({"type": "date"}))
    why = forms.CharField(label="Why", max_length=240, validators=[one_line])


class OverrideForm(Answer):
    """How many instead, and why."""

    pieces = forms.IntegerField(
        label="Pieces to order, empty for the tool's number", required=False, min_value=0
    )
    why = forms.CharField(label="Why", max_length=240, validators=[one_line])


class SeenForm(Answer):
    """That somebody sees to it."""
