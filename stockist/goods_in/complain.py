"""A complaint to a supplier opened by hand, days after the delivery."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from inventory.activities import receiving
from inventory.ground.fields import some_words
from inventory.ground.idempotency import KeyedForm
from inventory.ground.refusal import Refusal
from inventory.models.delivery import Disagreement
from inventory.models.supplier import Supplier
from stockist.goods_in.fields import LotField, PlaceField
from stockist.steps import by, doing, focus, told


class ComplainForm(KeyedForm):
    """Which tyres, and what is wrong with them."""

    lot = LotField(label="Lot")
    quantity = forms.IntegerField(label="How many")
    reason = forms.ChoiceField(
        label="What is wrong",
        choices=[(one.value, one.label) for one in Disagreement if one in receiving.BY_HAND],
        initial=Disagreement.DAMAGED,
    )
    says = forms.CharField(
        label="In words, as the supplier will read it",
        max_length=2000,
        widget=forms.Textarea({"rows": 3}),
        validators=[some_words],
    )
    place = PlaceField(
        label="Place", required=False, help_text="Only where the lot lies in several"
    )
    supplier = forms.ModelChoiceField(
        label="Supplier", queryset=Supplier.objects.order_by("name", "pk"), required=False,
        empty_label="who delivered it",
    )  # fmt: skip

    def values(self) -> dict[str, Any]:
        """As the activity takes them."""
        said = self.cleaned_data
        return {name: one for name, one in said.items() if name != "idempotency_key"}


@doing("inventory.add_suppliercomplaint")
def complain(request: HttpRequest) -> HttpResponse:
    """Complain of tyres of a lot: they go to quarantine."""
    initial = {name: request.GET.get(name, "") for name in ("lot", "place")}
    form = ComplainForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        try:
            opened = receiving.open_complaint(by=by(request), at=timezone.now(), **form.values())
        except Refusal as refusal:
            told(form, refusal)
        else:
            words = f"{opened.number} is open: put the tyres into {opened.quarantine}."
            messages.success(request, words)
            return redirect("goods_in:complaint", opened.pk)
    focus(form, "quantity" if initial["lot"] else "lot")
    status = 400 if form.is_bound else 200
    return render(request, "goods_in/complain.html", {"form": form}, status=status)
