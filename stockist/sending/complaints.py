"""Complaints of customers about what we sent: listed, and opened from the line that left."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.activities import complaining
from inventory.ground.fields import some_words
from inventory.ground.idempotency import KeyedForm
from inventory.ground.refusal import Refusal
from inventory.models.complaint import ComplaintState, CustomerComplaint
from inventory.models.despatch import DespatchLine
from stockist.listing import Cell, Row
from stockist.selling.listing import NEWEST, listed, narrowed
from stockist.steps import by, doing, looking, told

ORDERS = (NEWEST, ("opened_at", "oldest first"), ("customer__name", "by customer"))
HEADS = ("Complaint", "From", "Tyres", "What is wrong", "Opened", "Where it stands")
UNANSWERED = "unanswered"
_SIGNS = {
    ComplaintState.OPEN: ("!", "caution"),
    ComplaintState.WITH_MAKER: ("→", "cannot_tell"),
    ComplaintState.CLOSED: ("✓", "suits"),
}


class ComplainForm(KeyedForm):
    """What the customer says."""

    quantity = forms.IntegerField(label="How many tyres", initial=1)
    says = forms.CharField(
        label="What is wrong", max_length=2000, widget=forms.Textarea({"rows": 4}),
        validators=[some_words],
    )  # fmt: skip
    tread_left_mm = forms.DecimalField(
        label="Tread left, mm", max_digits=3, decimal_places=1, required=False
    )


@looking("inventory.view_customercomplaint")
@require_GET
def complaints(request: HttpRequest) -> HttpResponse:
    """What do customers complain of?"""

    def rows(said: Any) -> QuerySet[CustomerComplaint]:
        found: Any = CustomerComplaint.objects.with_names()
        state = said.get("state") or UNANSWERED
        if state == UNANSWERED:
            found = found.unanswered()
        elif state != "any":
            found = found.filter(state=state)
        return narrowed(found, said, "CC-", "says", "lot__code", "lot__sku__code")

    return listed(
        request, title="What do customers complain of?", empty="No complaint like that. One is "
        "opened from the despatch of its tyres.", heads=HEADS, orders=ORDERS, rows=rows, said=_row,
        states=(("", "not answered"), ("any", "any"), *ComplaintState.choices),
    )  # fmt: skip


def _row(one: CustomerComplaint) -> Row:
    says = one.says if len(one.says) <= 80 else f"{one.says[:79]}…"
    cells = (
        Cell(str(one.customer)), Cell(f"{one.quantity} × {one.lot.sku}, lot {one.lot}"), Cell(says),
        Cell(f"{timezone.localtime(one.opened_at):%d %b %Y}"), state_of(one),
    )  # fmt: skip
    return Row(one.number, reverse("sending:complaint", args=[one.pk]), cells)


def state_of(one: CustomerComplaint) -> Cell:
    """How it stands, with its sign."""
    words = one.get_state_display()
    if one.state == ComplaintState.CLOSED:
        words = f"{words}: {one.get_outcome_display()}"
    return Cell(words, *_SIGNS[ComplaintState(one.state)])


@doing("inventory.add_customercomplaint")
def make(request: HttpRequest, number: int) -> HttpResponse:
    """Write down what a customer says of tyres that left."""
    rows = DespatchLine.objects.select_related("despatch__customer", "lot__sku")
    found, status = get_object_or_404(rows, pk=number), 200
    form = ComplainForm(request.POST or None)
    if request.method == "POST":
        status = 400
        if form.is_valid():
            said = {k: v for k, v in form.cleaned_data.items() if k != "idempotency_key"}
            try:
                made = complaining.open_complaint(
                    despatch_line=found, by=by(request), at=timezone.now(), **said
                )
            except Refusal as refusal:
                status = refusal.status
                told(form, refusal)
            else:
                messages.success(request, f"{made.number} is opened.")
                return redirect("sending:complaint", made.pk)
    context = {"row": found, "form": form}
    return render(request, "sending/complain.html", context, status=status)
