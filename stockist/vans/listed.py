"""Vans and their meetings, the newest first; and taking a van out."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.activities import outings as activity
from inventory.ground.refusal import Refusal
from inventory.models.outing import Outing
from stockist.listing import newest_first
from stockist.steps import by, doing, looking, told
from stockist.vans.forms import OpenForm, OutingsForm


@looking("inventory.view_outing")
@require_GET
def outings(request: HttpRequest) -> HttpResponse:
    """Which van is at which meeting, and where they were before?"""
    form = OutingsForm(request.GET or None)
    rows = Outing.objects.select_related("van", "home", "opened_by", "ended_by")
    said = form.cleaned_data if form.is_valid() else {}
    if said.get("stands"):
        rows = rows.filter(ended_at__isnull=said["stands"] == "out")
    if said.get("q"):
        rows = rows.filter(meeting__icontains=said["q"])
    listing = newest_first(request, rows)
    context = {
        "rows": listing.rows,
        "more": listing.more,
        "form": form,
        "may_open": request.user.has_perm("inventory.add_outing"),
    }
    return render(request, "vans/list.html", context)


@doing("inventory.add_outing")
def open_one(request: HttpRequest) -> HttpResponse:
    """Take a van out for a meeting."""
    today = timezone.localdate()
    form = OpenForm(request.POST or None, initial={"day": today})
    if request.method == "POST" and form.is_valid():
        said = {name: form.cleaned_data[name] for name in ("van", "home", "meeting", "day", "note")}
        try:
            made = activity.open_outing(by=by(request), at=timezone.now(), **said)
        except Refusal as refusal:
            told(form, refusal)
        else:
            return redirect("vans:outing", made.pk)
    status = 400 if form.is_bound else 200
    return render(request, "vans/new.html", {"form": form}, status=status)
