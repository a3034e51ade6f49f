"""Transfers between sites: the list of them, and sending some off lot by lot."""

from __future__ import annotations

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.activities import transferring
from inventory.ground.fields import one_line
from inventory.ground.idempotency import KeyedForm
from inventory.ground.refusal import Refusal
from inventory.models.place import Site
from inventory.models.transfer import TO_COME, Transfer, TransferState
from stockist.goods_in.loads import LoadsField
from stockist.goods_in.rows import transfer_row
from stockist.listing import newest_first
from stockist.steps import by, doing, looking, told

STILL_TO_COME = "to_come"


class SendOffForm(KeyedForm):
    """Where from and where to, and one line for each load: lot, place, how many."""

    from_site = forms.ModelChoiceField(label="From", queryset=Site.objects.order_by("code"))
    to_site = forms.ModelChoiceField(label="To", queryset=Site.objects.order_by("code"))
    carrier = forms.CharField(
        label="Carrier", max_length=120, required=False, validators=[one_line]
    )
    loads = LoadsField(label="What is loaded, a line each: lot, place, how many")


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
