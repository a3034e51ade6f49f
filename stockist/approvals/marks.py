"""What car makers say of their marks: may issues meet on one car, what is told of old stock."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.db.models import Q, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from fitments.activities import marks
from fitments.models.mark import IssuerMark, IssuerMarkVersion, Mixing
from inventory.ground.refusal import Refusal
from stockist.approvals.said_forms import ChangeMarkForm, MarkForm
from stockist.listing import Cell, Row, table
from stockist.selling.steps import step
from stockist.steps import by, doing, looking, told

HEADS = ("Mark", "Car maker", "Issues on one car", "Old stock", "Rests on")
ORDERS = (("mark", "mark"), ("car_maker__name", "car maker"))


class MarksForm(forms.Form):
    """Which marks."""

    q = forms.CharField(label="Mark or car maker", max_length=80, required=False)
    mixing = forms.ChoiceField(
        label="Issues on one car", choices=[("", "any"), *Mixing.choices], required=False
    )
    order = forms.ChoiceField(label="In order of", choices=ORDERS, required=False)

    def narrowed(self, found: QuerySet[IssuerMark]) -> QuerySet[IssuerMark]:
        """The marks that are asked for, in their order."""
        said = self.cleaned_data
        if said["mixing"]:
            found = found.filter(mixing=said["mixing"])
        for word in said["q"].split():
            found = found.filter(Q(mark__icontains=word) | Q(car_maker__name__icontains=word))
        return found.order_by(said["order"] or "mark", "pk")


def rows() -> QuerySet[IssuerMark]:
    """Marks with whose they are."""
    return IssuerMark.objects.select_related("car_maker", "evidence", "written_by")


@looking("fitments.view_issuermark")
@require_GET
def listed(request: HttpRequest) -> HttpResponse:
    """What do the car makers say of their marks?"""
    form = MarksForm(request.GET or {})
    found = form.narrowed(rows()) if form.is_valid() else rows().none().order_by("pk")
    doors = [("The register", reverse("approvals:register"))]
    if request.user.has_perm("fitments.add_issuermark"):
        doors.append(("Record a mark", reverse("approvals:record-mark")))
    context = {
        "title": "What do the makers say of their marks?",
        "form": form,
        "table": table(request, found, HEADS, _row),
        "empty": "Nothing like that is on record of any mark.",
        "doors": doors,
    }
    return render(request, "stockist/list.html", context)


def _row(mark: IssuerMark) -> Row:
    cells = (
        Cell(str(mark.car_maker)), _mixing(mark), Cell(mark.old_stock),
        Cell(mark.evidence.code if mark.evidence else ""),
    )  # fmt: skip
    return Row(mark.mark, reverse("approvals:mark", args=[mark.pk]), cells)


def _mixing(mark: IssuerMark) -> Cell:
    if not mark.mixing:
        return Cell("not on record", "?", "cannot_tell")
    return Cell(Mixing(mark.mixing).label)


@looking("fitments.view_issuermark")
@require_GET
def one(request: HttpRequest, number: int) -> HttpResponse:
    """One mark: what is said of it, and what was."""
    return page(request, get_object_or_404(rows(), pk=number))


def page(
    request: HttpRequest,
    found: IssuerMark,
    *,
    refused: str = "",
    status: int = 200,
    bound: dict[str, Any] | None = None,
) -> HttpResponse:
    """The page of a mark."""
    kept = IssuerMarkVersion.objects.filter(issuer_mark=found).select_related("written_by")
    context = {
        "mark": found,
        "mixing": _mixing(found),
        "before": kept.filter(known__upper_inf=False).order_by("-pk"),
        "may_change": request.user.has_perm("fitments.change_issuermark"),
        "change": ChangeMarkForm.of(found, marks.version_of(found)),
        "refused": refused,
        **(bound or {}),
    }
    return render(request, "approvals/mark.html", context, status=status)


@doing("fitments.add_issuermark")
def record(request: HttpRequest) -> HttpResponse:
    """Record what a car maker says of its mark."""
    form = MarkForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            made = marks.make_mark(by=by(request), at=timezone.now(), **_values(form))
        except Refusal as refusal:
            told(form, refusal)
        else:
            messages.success(request, "Recorded.")
            return redirect("approvals:mark", made.pk)
    context = {"title": "Record a mark", "button": "Record it", "form": form, "lead": ""}
    status = 400 if form.is_bound else 200
    return render(request, "approvals/say.html", context, status=status)


def _values(form: MarkForm) -> Any:
    return form.values()


change = step(
    permission="fitments.change_issuermark", rows=rows, called="issuer_mark", form=ChangeMarkForm,
    name="change", work=marks.change_mark, page=page, to=lambda row: ("approvals:mark", row.pk),
    done="Kept: what was said before is below.", values=_values,
)  # fmt: skip
