"""Transfers between sites: the list of them, and sending some off lot by lot."""

from __future__ import annotations

import re

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.activities import transferring
from inventory.activities.transferring import Load
from inventory.ground.fields import one_line
from inventory.ground.idempotency import KeyedForm
from inventory.ground.refusal import Refusal
from inventory.models.place import Site
from inventory.models.transfer import TO_COME, Transfer, TransferState
from stockist.goods_in.fields import PLAIN
from stockist.goods_in.rows import transfer_row
from stockist.goods_in.scans import lot_named, not_wanted, place_named
from stockist.listing import newest_first
from stockist.steps import by, doing, looking, told

MOST_LOADS = 100
STILL_TO_COME = "to_come"


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


class TransfersForm(forms.Form):
    """Which transfers are listed."""

    state = forms.ChoiceField(
        label="Where it stands",
        choices=(("", "any"), (STILL_TO_COME, "still to come"), *TransferState.choices),
        required=False,
    )


@looking("inventory.view_transfer")
@require_GET
def transfers(request: HttpRequest) -> HttpResponse:
    """Every transfer, the newest first."""
    form = TransfersForm(request.GET or None)
    rows = Transfer.objects.select_related("from_site", "to_site", "sent_by")
    if form.is_valid() and form.cleaned_data["state"]:
        state = form.cleaned_data["state"]
        rows = rows.filter(state__in=TO_COME if state == STILL_TO_COME else [state])
    listing = newest_first(request, rows)
    context = {
        "rows": [transfer_row(one) for one in listing.rows],
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
