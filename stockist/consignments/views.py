"""One consignment: what is agreed, where it lies, what was bought in and given back."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from inventory.activities import consigning
from inventory.ground.refusal import Refusal
from inventory.models.consignment import Consignment, ConsignmentStep
from stockist.consignments.forms import BuyInForm, GiveBackForm, PartsForm
from stockist.consignments.lists import stands
from stockist.listing import newest_first
from stockist.selling.steps import words_of
from stockist.steps import by, doing, looking, told


@looking("inventory.view_consignment")
@require_GET
def consignment(request: HttpRequest, number: int) -> HttpResponse:
    """What is agreed, where it lies, what was done with it."""
    return _page(request, _found(number))


@doing("inventory.change_consignment")
@require_POST
def buy_in(request: HttpRequest, number: int) -> HttpResponse:
    """Make some of it the house's."""
    return _done(request, number, "buy_in", BuyInForm, consigning.buy_in, _bought)


@doing("inventory.add_consignmentstep")
@require_POST
def give_back(request: HttpRequest, number: int) -> HttpResponse:
    """Book some of it out to the consignor."""
    return _done(request, number, "give_back", GiveBackForm, consigning.give_back, _given_back)


def _found(number: int) -> Any:
    rows = Consignment.objects.with_left().select_related("supplier", "taken_by")
    return get_object_or_404(rows, pk=number)


def _done(
    request: HttpRequest,
    number: int,
    name: str,
    kind: type[PartsForm],
    work: Callable[..., Any],
    words: Callable[[Any], str],
) -> HttpResponse:
    row = _found(number)
    form: Any = kind(request.POST, lies=consigning.lying(row))
    status, refused = 400, ""
    if form.is_valid():
        try:
            done = work(consignment=row, by=by(request), at=timezone.now(), **form.values())
        except Refusal as refusal:
            told(form, refusal)
            refused, status = refusal.sentence, refusal.status
        else:
            messages.success(request, words(done))
            return redirect("consignments:consignment", number)
    return _page(request, row, refused=refused or words_of(form), status=status, **{name: form})


def _bought(done: consigning.Bought) -> str:
    into = ", ".join(dict.fromkeys(f"{step.into}" for step in done.steps))
    tyres = sum(step.quantity for step in done.steps)
    served = ", ".join(hold.number for hold in done.turn.served)
    waited = f" Held at once for who waited: {served}." if served else ""
    return f"✓ {tyres} bought in, lot {into} now: label them anew.{waited}"


def _given_back(steps: list[ConsignmentStep]) -> str:
    tyres = sum(step.quantity for step in steps)
    return f"✓ {tyres} given back. Their paper stands below."


def _page(
    request: HttpRequest, row: Any, *, refused: str = "", status: int = 200, **bound: PartsForm
) -> HttpResponse:
    lies = consigning.lying(row)
    may = {
        "buy_in": request.user.has_perm("inventory.change_consignment"),
        "give_back": request.user.has_perm("inventory.add_consignmentstep"),
    }
    steps = row.steps.with_corrected().select_related("lot__sku", "into", "place", "done_by")
    context = {
        "row": row,
        "stands": stands(row, timezone.localdate()),
        "parts": row.lots.select_related("lot__sku"),
        "lies": lies,
        "labels": "\n".join(dict.fromkeys(one.lot.code for one in lies)),
        "steps": newest_first(request, steps),
        "refused": refused,
        "may": may if lies else {},
        "buy_in": bound.get("buy_in") or BuyInForm(lies=lies),
        "give_back": bound.get("give_back") or GiveBackForm(lies=lies),
    }
    return render(request, "consignments/consignment.html", context, status=status)
