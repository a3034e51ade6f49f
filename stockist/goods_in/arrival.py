"""One transfer: booked in scan by scan where it arrives, taken up by another, or ended short."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from urllib.parse import urlencode

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from inventory.activities import putting_away, transferring
from inventory.ground.refusal import Refusal
from inventory.models.transfer import TO_COME, Transfer, TransferState
from inventory.models.write_off import WriteOffState
from stockist.goods_in.arrival_forms import EndForm, NumbersForm, ScanForm
from stockist.goods_in.rows import transfer_row
from stockist.goods_in.scans import place_named
from stockist.steps import by, doing, focus, fresh_key, looking, told

CHANGE = "inventory.change_transfer"
_NAMES = ("from_site", "to_site", "through", "sent_by", "at_work_by", "ended_by", "outing")


def of_number(number: int) -> Transfer:
    """The transfer of an address."""
    return get_object_or_404(Transfer.objects.select_related(*_NAMES), pk=number)


@looking("inventory.view_transfer")
@require_GET
def transfer(request: HttpRequest, number: int) -> HttpResponse:
    """What is still to come and where it best goes, what has arrived, what never will."""
    return page(request, of_number(number))


@doing(CHANGE)
@require_POST
def scan(request: HttpRequest, number: int) -> HttpResponse:
    """Book in what was scanned; the label of a place says where to put what follows."""
    found, form = of_number(number), ScanForm(request.POST)
    into = place_named(request.POST.get("scanned", ""))
    if into is not None and into.site_id == found.to_site_id:
        messages.info(request, f"From now on into {into}.")
        return _back(found, into.code)
    if not form.is_valid():
        return page(request, found, status=400, bound={"scan": form})
    values = _said(form)
    try:
        done = transferring.scan_arrival(
            transfer=found, by=by(request), at=timezone.now(), **values
        )
    except Refusal as refusal:
        told(form, refusal)
        return _refused(request, found, refusal, {"scan": form})
    rest = f"{done.to_come} still to come" if done.to_come else "all of it is told"
    messages.success(request, f"✓ {done.quantity} of {done.lot} into {values['place']}; {rest}.")
    return _back(found, values["place"].code)


def _step(
    name: str, make: Callable[[Any, Transfer], forms.Form], work: Callable[..., str]
) -> Callable[..., HttpResponse]:
    """A page that takes one form and does one thing to the transfer."""

    @doing(CHANGE)
    @require_POST
    def answered(request: HttpRequest, number: int) -> HttpResponse:
        found = of_number(number)
        form = make(request.POST, found)
        if not form.is_valid():
            return page(request, found, status=400, bound={name: form})
        try:
            words = work(found, form, by=by(request), at=timezone.now())
        except Refusal as refusal:
            told(form, refusal)
            return _refused(request, found, refusal, {name: form})
        messages.success(request, words)
        return _back(found)

    return answered


def _booked(found: Transfer, form: Any, **who: Any) -> str:
    place, they_fit = form.cleaned_data["place"], form.cleaned_data["they_fit"]
    transferring.book_arrival(
        transfer=found, came=form.came(), place=place, they_fit=they_fit, **who
    )
    return f"{found} is booked in, as far as it came."


def _ended(found: Transfer, form: Any, **who: Any) -> str:
    done = transferring.end_short(transfer=found, **_said(form), **who)
    if done.state == TransferState.SHORT:
        return f"{found} has arrived short, and says why."
    return f"{found} waits for another person: so many are not written off by one."


by_numbers = _step("numbers", lambda sent, found: NumbersForm(sent, transfer=found), _booked)
end_short = _step("end", lambda sent, found: EndForm(sent), _ended)


@doing(CHANGE)
@require_POST
def take_up(request: HttpRequest, number: int) -> HttpResponse:
    """Go on with what somebody else began."""
    found = of_number(number)
    try:
        transferring.take_up(transfer=found, by=by(request), at=timezone.now())
    except Refusal as refusal:
        return page(request, found, status=refusal.status, refused=refusal.sentence)
    messages.success(request, f"{found} is in your hands.")
    return _back(found)


def _refused(
    request: HttpRequest, found: Transfer, refusal: Refusal, bound: dict[str, Any]
) -> HttpResponse:
    """The refusal beside its form; above, where the form is not shown any more."""
    now = of_number(found.pk)
    return page(request, now, status=refusal.status, refused=refusal.sentence, bound=bound)


def page(
    request: HttpRequest,
    found: Transfer,
    *,
    status: int = 200,
    refused: str = "",
    bound: dict[str, Any] | None = None,
) -> HttpResponse:
    """The page of a transfer."""
    lines = list(found.lines.select_related("lot__sku").order_by("lot__sku__code", "pk"))
    open_lines = [line for line in lines if line.to_come]
    may_book = request.user.has_perm(CHANGE) and found.state in TO_COME
    mine = may_book and found.at_work_by_id in (None, request.user.pk)
    context = {
        "row": transfer_row(found),
        "transfer": found,
        "lines": lines,
        "to_come": list(zip(open_lines, _places(found, open_lines, mine), strict=True)),
        "tyres": sum(line.to_come for line in open_lines),
        "asked": found.write_offs.exclude(state=WriteOffState.POSTED).order_by("pk"),
        "may_book": may_book,
        "mine": mine,
        "refused": "" if bound and mine else refused,
        "key": fresh_key(),
    }
    if mine:
        forms_shown = _forms(request, found) | (bound or {})
        focus(forms_shown["scan"], "scanned")
        context |= forms_shown
    return render(request, "goods_in/transfer.html", context, status=status)


def _forms(request: HttpRequest, found: Transfer) -> dict[str, Any]:
    into = {"place": request.GET.get("place", "")[:40]}
    return {
        "scan": ScanForm(initial=into),
        "numbers": NumbersForm(transfer=found),
        "end": EndForm(),
    }


def _places(found: Transfer, lines: list[Any], wanted: bool) -> list[Any]:
    if not wanted:
        return [None] * len(lines)
    return putting_away.best_places(
        [(line.lot, line.to_come) for line in lines], site=found.to_site
    )


def _said(form: forms.Form) -> dict[str, Any]:
    return {name: one for name, one in form.cleaned_data.items() if name != "idempotency_key"}


def _back(found: Transfer, place: str = "") -> HttpResponseRedirect:
    address = reverse("goods_in:transfer", args=[found.pk])
    return HttpResponseRedirect(f"{address}?{urlencode({'place': place})}" if place else address)
