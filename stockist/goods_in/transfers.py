"""Transfers between sites: sent off lot by lot, booked in at the other end."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.activities import transferring
from inventory.activities.transferring import Load
from inventory.ground.fields import one_line
from inventory.ground.idempotency import KeyedForm
from inventory.ground.refusal import Refusal
from inventory.models.place import Place, PlaceKind, Site
from inventory.models.transfer import Transfer, TransferState
from stockist.goods_in.fields import PLAIN
from stockist.goods_in.scans import lot_named, not_wanted, place_named
from stockist.listing import newest_first
from stockist.steps import by, doing, looking, told

MOST_LOADS = 100


class SendOffForm(KeyedForm):
    """Where from and where to, and one line for each load: lot, place, how many."""

    from_site = forms.ModelChoiceField(label="From", queryset=Site.objects.order_by("code"))
    to_site = forms.ModelChoiceField(label="To", queryset=Site.objects.order_by("code"))
    carrier = forms.CharField(
        label="Carrier", max_length=120, required=False, validators=[one_line]
    )
    loads = forms.CharField(
        label="What is loaded, a line each: lot, place, how many",
        widget=forms.Textarea({"rows": 6, **PLAIN, "data-scan": True}),
        max_length=8000,
        help_text="Such as: LOT-0140 A-01-2 4. Or scanned: the lot, the place, how many, each with "
        "Enter.",
    )

    def clean_loads(self) -> list[Load]:
        """The loads as the activity takes them; each line at fault is named."""
        lines = said_by_line(self.cleaned_data["loads"])
        if len(lines) > MOST_LOADS:
            raise forms.ValidationError(f"{len(lines)} lines at once: {MOST_LOADS} are the most.")
        return [_load(number, words) for number, words in enumerate(lines, start=1)]


def said_by_line(text: str) -> list[list[str]]:
    """The words of each line. A scanner ends every scan with Enter: three such lines are one.

    Split at blanks and ends of lines alone: a separator within a scan is a blank to Python.
    """
    lines = [re.split(r"[ \t]+", line.strip(" \t\r")) for line in text.split("\n")]
    said = [words for words in lines if words != [""]]
    if len(said) >= 3 and all(len(words) == 1 for words in said):
        flat = [words[0] for words in said]
        return [flat[start : start + 3] for start in range(0, len(flat), 3)]
    return said


def _load(number: int, words: list[str]) -> Load:
    if len(words) != 3 or not re.fullmatch(r"[0-9]{1,7}", words[2]):
        raise forms.ValidationError(f"Line {number}: a lot, a place and a number are wanted.")
    lot, place = lot_named(words[0]), place_named(words[1])
    if lot is None:
        raise forms.ValidationError(f"Line {number}: {not_wanted(words[0], 'the label of a lot')}")
    if place is None:
        wanted = "the label of a place"
        raise forms.ValidationError(f"Line {number}: {not_wanted(words[1], wanted)}")
    return Load(lot, place, int(words[2]))


class ArrivalForm(KeyedForm):
    """Where it is unloaded, and how many of each lot came."""

    place = forms.ModelChoiceField(label="Unloaded into", queryset=Place.objects.none())

    def __init__(self, *args: Any, transfer: Transfer, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        places = Place.objects.filter(
            site=transfer.to_site, kind__in=[PlaceKind.GOODS_IN, PlaceKind.STORAGE]
        ).order_by("walk", "code")
        self.fields["place"].queryset = places  # type: ignore[attr-defined]
        self.fields["place"].initial = places.first()
        for line in transfer.lines.select_related("lot__sku").order_by("pk"):
            left = line.quantity - line.arrived
            if left:
                self.fields[f"lot_{line.lot_id}"] = forms.IntegerField(
                    label=f"{line.lot} ({line.lot.sku}), {left} on the way",
                    min_value=0,
                    initial=left,
                )

    def came(self) -> dict[int, int]:
        """Tyres by the keys of lots; those of which none came are left out."""
        return {
            int(name.removeprefix("lot_")): value
            for name, value in self.cleaned_data.items()
            if name.startswith("lot_") and value
        }


class TransfersForm(forms.Form):
    """Which transfers are listed."""

    state = forms.ChoiceField(
        label="Where it stands", choices=(("", "any"), *TransferState.choices), required=False
    )


@looking("inventory.view_transfer")
@require_GET
def transfers(request: HttpRequest) -> HttpResponse:
    """Every transfer, the newest first."""
    form = TransfersForm(request.GET or None)
    rows = Transfer.objects.select_related("from_site", "to_site", "sent_by")
    if form.is_valid() and form.cleaned_data["state"]:
        rows = rows.filter(state=form.cleaned_data["state"])
    listing = newest_first(request, rows)
    context = {
        "rows": listing.rows,
        "more": listing.more,
        "form": form,
        "may_send": request.user.has_perm("inventory.add_transfer"),
    }
    return render(request, "goods_in/transfers.html", context)


@doing("inventory.add_transfer")
def send_off(request: HttpRequest) -> HttpResponse:
    """Send tyres from one site to another."""
    form = SendOffForm(request.POST or None, initial=_filled_in(request))
    if request.method == "POST" and form.is_valid():
        said = {name: form.cleaned_data[name] for name in (
            "from_site", "to_site", "carrier", "loads"
        )}  # fmt: skip
        try:
            sent = transferring.send_off(by=by(request), at=timezone.now(), **said)
        except Refusal as refusal:
            told(form, refusal)
        else:
            return redirect("goods_in:transfer", sent.pk)
    status = 400 if form.is_bound else 200
    return render(request, "goods_in/send_off.html", {"form": form}, status=status)


def _filled_in(request: HttpRequest) -> dict[str, str]:
    """What another page suggests; whoever sends it off looks at it first."""
    wanted = ("from_site", "to_site", "loads")
    return {name: request.GET[name] for name in wanted if name in request.GET}


@doing("inventory.change_transfer")
def transfer(request: HttpRequest, number: int) -> HttpResponse:
    """One transfer: what is on the way, and booking in what arrived."""
    rows = Transfer.objects.select_related("from_site", "to_site", "through", "sent_by", "ended_by")
    found = get_object_or_404(rows, pk=number)
    form = ArrivalForm(request.POST or None, transfer=found)
    if request.method == "POST" and form.is_valid():
        place = form.cleaned_data["place"]
        try:
            transferring.book_arrival(
                transfer=found, came=form.came(), place=place, by=by(request), at=timezone.now()
            )
        except Refusal as refusal:
            told(form, refusal)
        else:
            messages.success(request, f"{found} is booked in, as far as it came.")
            return redirect("goods_in:transfer", found.pk)
    context = {
        "transfer": found,
        "lines": found.lines.select_related("lot__sku").order_by("pk"),
        "on_the_way": found.state == TransferState.ON_THE_WAY,
        "form": form,
    }
    status = 400 if form.is_bound else 200
    return render(request, "goods_in/transfer.html", context, status=status)
