"""What came back: booked in line by line, with its condition and where it was put."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.db.models import Count, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.activities import returning
from inventory.activities.returning import CameBack, StillOut
from inventory.ground.idempotency import KeyedForm
from inventory.ground.refusal import Refusal
from inventory.models.lot import Condition
from inventory.models.returned import Return, ReturnReason
from stockist.goods_in.fields import PlaceField
from stockist.listing import Cell, Row
from stockist.selling.forms import line, words
from stockist.selling.listing import NEWEST, listed, narrowed
from stockist.sending.despatches import rows_of
from stockist.steps import by, doing, looking

ORDERS = (NEWEST, ("customer__name", "by customer"))
HEADS = ("Return", "From", "Despatch", "Reason", "Lines", "Came back")


class ReturnForm(KeyedForm):
    """Why, and of each line how many, in what condition."""

    reason = forms.ChoiceField(label="Reason", choices=ReturnReason.choices)
    place = PlaceField(label="Put into which place")
    note = words("Note")

    def __init__(self, *args: Any, lines: list[StillOut], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.out = [one for one in lines if one.left]
        for one in self.out:
            self.fields |= _line_fields(one)

    @property
    def head(self) -> list[forms.BoundField]:
        """The fields about all of it."""
        return [self[name] for name in ("reason", "place", "note")]

    @property
    def rows(self) -> list[tuple[StillOut, list[forms.BoundField]]]:
        """The fields of each line."""
        names = ("quantity", "condition", "buffed", "note")
        return [(one, [self[f"{name}_{one.line.pk}"] for name in names]) for one in self.out]

    def came(self) -> list[CameBack]:
        """What came back; a line of which nothing is said did not."""
        said = self.cleaned_data
        return [
            CameBack(
                line=one.line, quantity=said[f"quantity_{one.line.pk}"],
                condition=said[f"condition_{one.line.pk}"], place=said["place"],
                note=said[f"note_{one.line.pk}"], buffed_to_mm=said[f"buffed_{one.line.pk}"],
            )
            for one in self.out
            if said[f"quantity_{one.line.pk}"] is not None
        ]  # fmt: skip


def _line_fields(one: StillOut) -> dict[str, forms.Field]:
    key = one.line.pk
    return {
        f"quantity_{key}": forms.IntegerField(label=f"How many of {one.left}", required=False),
        f"condition_{key}": forms.ChoiceField(
            label="Condition", choices=Condition.choices, initial=one.line.lot.condition
        ),
        f"buffed_{key}": forms.DecimalField(
            label="Left of it, mm, if buffed", max_digits=3, decimal_places=1, required=False
        ),
        f"note_{key}": line("Note", 240),
    }


@doing("inventory.add_return")
def take_back(request: HttpRequest, number: int) -> HttpResponse:
    """Book in what came back of a despatch."""
    found = get_object_or_404(rows_of(), pk=number)
    form = ReturnForm(request.POST or None, lines=returning.still_out(found))
    status = 200
    if request.method == "POST":
        status = 400
        if form.is_valid():
            said = form.cleaned_data
            try:
                made = returning.take_back(
                    despatch=found, reason=said["reason"], lines=form.came(), note=said["note"],
                    by=by(request), at=timezone.now(),
                )  # fmt: skip
            except Refusal as refusal:
                status = refusal.status
                form.add_error(None, refusal.sentence)
            else:
                messages.success(request, f"{made.number} is booked in.")
                return redirect("sending:return", made.pk)
    context = {"despatch": found, "form": form}
    return render(request, "sending/take_back.html", context, status=status)


@looking("inventory.view_return")
@require_GET
def returns(request: HttpRequest) -> HttpResponse:
    """What came back, and why?"""

    def rows(said: Any) -> QuerySet[Return]:
        found: Any = Return.objects.select_related("customer", "despatch", "returned_by")
        if said.get("state"):
            found = found.filter(reason=said["state"])
        found = narrowed(found, said, "R-", "note")
        counted: QuerySet[Return] = found.annotate(count=Count("lines", distinct=True))
        return counted

    return listed(
        request, title="What came back, and why?", empty="Nothing like that came back. A return "
        "is booked in from its despatch.", heads=HEADS, orders=ORDERS, rows=rows, said=_row,
        states=(("", "any reason"), *ReturnReason.choices),
    )  # fmt: skip


def _row(one: Any) -> Row:
    came = f"{timezone.localtime(one.returned_at):%d %b %Y} by {one.returned_by}"
    cells = (
        Cell(str(one.customer)), Cell(one.despatch.number), Cell(one.get_reason_display()),
        Cell(str(one.count)), Cell(came),
    )  # fmt: skip
    return Row(one.number, reverse("sending:return", args=[one.pk]), cells)


@looking("inventory.view_return")
@require_GET
def came_back(request: HttpRequest, number: int) -> HttpResponse:
    """One return: which tyres, in what condition, and where they are now."""
    rows = Return.objects.select_related("customer", "despatch", "returned_by")
    found = get_object_or_404(rows, pk=number)
    names = ("despatch_line__lot__sku", "into_lot", "place")
    lines = found.lines.select_related(*names).order_by("pk")
    return render(request, "sending/return.html", {"came": found, "lines": list(lines)})
