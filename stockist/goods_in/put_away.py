"""From goods in to the racks: what waits, where it best goes, and the scan that puts it there."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone

from inventory.activities import putting_away
from inventory.ground.idempotency import KeyedForm
from inventory.ground.refusal import Refusal
from inventory.models.balance import Balance
from inventory.models.lot import Lot
from inventory.models.place import PlaceKind, Site
from stockist.goods_in.fields import LotField, PlaceField
from stockist.steps import by, doing, focus, told

SHOWN = 60


class PutAwayForm(KeyedForm):
    """Which lot, into which place; all that waits of it, unless a number is said."""

    lot = LotField(label="Lot")
    target = PlaceField(label="Into which place")
    quantity = forms.IntegerField(label="How many, if not all", min_value=1, required=False)
    they_fit = forms.BooleanField(label="They fit, whatever the room says", required=False)

    def __init__(self, *args: Any, site: Site | None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["lot"].lots = Lot.objects.filter(  # type: ignore[attr-defined]
            balances__on_hand__gt=0,
            balances__place__site=site,
            balances__place__kind=PlaceKind.GOODS_IN,
        )
        for name in ("lot", "target"):
            self.fields[name].widget.attrs["data-wanted"] = True


@doing("inventory.add_posting")
def put_away(request: HttpRequest) -> HttpResponse:
    """What waits at a site in walking order; a lot and a place scanned are a move."""
    site = _site(request)
    initial = {"lot": request.GET.get("lot", "")}
    form = PutAwayForm(request.POST or None, site=site, initial=initial)
    if request.method == "POST" and form.is_valid():
        said = form.cleaned_data
        lies = _lies(said, site)
        if lies is None:
            form.add_error("lot", f"No {said['lot']} waits in goods in here.")
        else:
            quantity = said["quantity"] or lies.on_hand
            try:
                putting_away.put_away(
                    lot=said["lot"],
                    source=lies.place,
                    target=said["target"],
                    quantity=quantity,
                    they_fit=said["they_fit"],
                    by=by(request),
                    at=timezone.now(),
                )
            except Refusal as refusal:
                told(form, refusal)
            else:
                words = f"✓ {quantity} of {said['lot']} put away in {said['target']}."
                messages.success(request, words)
                return redirect(f"{reverse('goods_in:put-away')}?site={lies.place.site.code}")
    return render(request, "goods_in/put_away.html", _context(site, form),
                  status=400 if form.is_bound else 200)  # fmt: skip


def _site(request: HttpRequest) -> Site | None:
    """The site asked for, else the first that has something waiting, else the first."""
    asked = Site.objects.filter(code__iexact=request.GET.get("site", "")).first()
    waits = Site.objects.filter(
        places__kind=PlaceKind.GOODS_IN, places__balances__on_hand__gt=0
    ).order_by("code")
    return asked or waits.first() or Site.objects.order_by("code").first()


def _lies(said: dict[str, Any], site: Site | None) -> Balance | None:
    """Where so many of the lot wait: where most of it does."""
    rows = Balance.objects.filter(lot=said["lot"], place__site=site, on_hand__gt=0)
    waits = rows.filter(place__kind=PlaceKind.GOODS_IN).select_related("place__site")
    return waits.order_by("-on_hand", "pk").first()


def _context(site: Site | None, form: PutAwayForm) -> dict[str, Any]:
    focus(form, "lot")
    waiting = putting_away.waiting(site) if site else []
    return {
        "site": site,
        "sites": Site.objects.filter(places__kind=PlaceKind.GOODS_IN).distinct().order_by("code"),
        "waiting": waiting[:SHOWN],
        "more": max(len(waiting) - SHOWN, 0),
        "tyres": sum(row.quantity for row in waiting),
        "form": form,
    }
