"""Work on tyres: what was done to which of them, and why."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from inventory.activities import working
from inventory.ground.fields import some_words
from inventory.ground.idempotency import KeyedForm
from inventory.ground.refusal import Refusal
from inventory.models.lot import Condition, Lot
from stockist.goods_in.fields import LotField, PlaceField
from stockist.listing import newest_first
from stockist.steps import by, doing, focus, told

_INTO = [(value, label) for value, label in Condition.choices if value != Condition.NEW]


class WorkForm(KeyedForm):
    """Which tyres, and what they are now."""

    lot = LotField(label="Lot")
    place = PlaceField(label="Where they lie")
    quantity = forms.IntegerField(label="How many", min_value=1, max_value=1000)
    condition = forms.ChoiceField(label="They are now", choices=_INTO, initial=Condition.BUFFED)
    buffed_to_mm = forms.DecimalField(
        label="If buffed: tread left, mm", min_value=0, max_digits=3, decimal_places=1,
        required=False,
    )  # fmt: skip
    why = forms.CharField(label="Why", max_length=500, validators=[some_words])

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("lot", "place", "quantity"):
            self.fields[name].widget.attrs["data-wanted"] = True


@doing("inventory.add_posting")
def work(request: HttpRequest) -> HttpResponse:
    """Book work on tyres, and look at what was done before."""
    form = WorkForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        said = {key: one for key, one in form.cleaned_data.items() if key != "idempotency_key"}
        try:
            made, _ = working.work(by=by(request), at=timezone.now(), **said)
        except Refusal as refusal:
            told(form, refusal)
        else:
            words = f"✓ {said['quantity']} of {said['lot']} are lot {made} now: label them anew."
            messages.success(request, words)
            return redirect("counts:work")
    focus(form, "lot")
    rows = Lot.objects.filter(made_from__isnull=False, bought_from__isnull=True).select_related(
        "sku", "made_from", "recorded_by"
    )
    listing = newest_first(request, rows)
    context = {"form": form, "rows": listing.rows, "more": listing.more}
    status = 400 if form.is_bound else 200
    return render(request, "counts/work.html", context, status=status)
