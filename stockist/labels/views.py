"""Labels to print: nothing is written, so that they may be asked for again and again."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from inventory.documents.choosing import lot_labels, place_labels
from inventory.documents.drawing import drawn
from inventory.documents.values import Label, LabelSize
from inventory.ground.refusal import Refusal
from stockist.labels.forms import LabelsForm
from stockist.steps import looking, told


@looking("inventory.view_lot")
@require_GET
def labels(request: HttpRequest) -> HttpResponse:
    """Which labels? Asked for, they come as PDF, a page a label."""
    if "size" not in request.GET:
        said = {name: request.GET.get(name, "") for name in ("delivery", "scans")}
        of = "places" if request.GET.get("of") == "places" else "lots"
        asked = {"of": of, "each": "tyre", **said}
        return _page(request, LabelsForm(initial=asked))
    form = LabelsForm(request.GET)
    if not form.is_valid():
        return _page(request, form, 400)
    try:
        wanted = _wanted(form)
    except Refusal as refusal:
        told(form, refusal)
        return _page(request, form, 400)
    pdf = drawn(wanted, LabelSize(form.cleaned_data["size"]))
    headers = {"Content-Disposition": 'inline; filename="labels.pdf"'}
    return HttpResponse(pdf, content_type="application/pdf", headers=headers)


def _wanted(form: LabelsForm) -> list[Label]:
    if form.cleaned_data["of"] == "places":
        return place_labels(form.places())
    return lot_labels(form.lots(), a_tyre=form.cleaned_data["each"] == "tyre")


def _page(request: HttpRequest, form: LabelsForm, status: int = 200) -> HttpResponse:
    return render(request, "labels/labels.html", {"form": form}, status=status)
