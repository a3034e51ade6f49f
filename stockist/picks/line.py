"""One line of a pick list: by hand, another lot, or fewer than were asked for."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from inventory.activities import picking
from inventory.availability import ShelfLot, lots_of
from inventory.ground.idempotency import KeyedForm
from inventory.ground.refusal import Refusal
from inventory.models.pick import Confirmed, PickLine, PickLineState, PickList, PickListState
from stockist.picks.forms import HandForm, OtherForm, ShortForm, said
from stockist.picks.rows import lines_said
from stockist.steps import by, doing, looking, told

CHANGE = "inventory.change_picklist"
PICKING = (PickListState.OPEN, PickListState.PICKED)
SHOWN = 12


@looking("inventory.view_picklist")
@require_GET
def line(request: HttpRequest, number: int, row: int) -> HttpResponse:
    """What else may be done about a line than scan it."""
    found, asked = of_numbers(number, row)
    lot = request.GET.get("lot", "")[:40]
    bound = {"other": OtherForm(initial={"lot": lot})} if lot else {}
    return page(request, found, asked, bound=bound)


def of_numbers(number: int, row: int) -> tuple[PickList, PickLine]:
    """The list and the line of an address."""
    found = get_object_or_404(PickList.objects.select_related("to_place__site"), pk=number)
    rows = PickLine.objects.select_related(
        "lot__sku", "place__site", "hold__order_line", "taken_lot", "picked_by"
    )
    return found, get_object_or_404(rows, pick_list=found, pk=row)


def ask_about(
    request: HttpRequest, found: PickList, asked: PickLine, read: picking.Scanned
) -> HttpResponse:
    """Another lot was scanned than the one that is wanted: whether it is to be taken, and why."""
    words = (
        f"{read.lot} was scanned, {read.lot.date_code or 'no date code'}; {asked.lot} is wanted, "
        f"{asked.lot.date_code or 'no date code'}. Say why, if it is to be taken instead."
    )
    if read.lot.pk == asked.lot_id:
        words = f"{read.lot} was scanned: is it taken from {read.place}, not {asked.place}?"
    known = {"lot": read.lot.code, "place": read.place, "confirmed": Confirmed.SCAN}
    bound = {"other": OtherForm(initial=known)}
    return page(request, found, asked, refused=words, status=409, bound=bound)


def page(
    request: HttpRequest,
    found: PickList,
    asked: PickLine,
    *,
    refused: str = "",
    status: int = 200,
    bound: dict[str, Any] | None = None,
) -> HttpResponse:
    """The page of a line."""
    may_pick = (
        request.user.has_perm(CHANGE)
        and found.state in PICKING
        and asked.state == PickLineState.OPEN
    )
    context = {
        "listed": found,
        "one": lines_said([asked])[0],
        "may_pick": may_pick,
        "others": others(asked) if may_pick else [],
        "hand": HandForm(),
        "other": OtherForm(),
        "short": ShortForm(),
        "refused": refused,
        **(bound or {}),
    }
    return render(request, "picks/line.html", context, status=status)


def others(asked: PickLine) -> list[ShelfLot]:
    """Other free lots of the SKU at the site, as one walks; whether they match is asked later."""
    rows = lots_of([asked.lot.sku_id], at=timezone.now())
    free = [
        lot
        for lot in rows
        if lot.site_id == asked.place.site_id
        and lot.to_sell
        and lot.free > 0
        and (lot.lot_id, lot.place_id) != (asked.lot_id, asked.place_id)
    ]
    return sorted(free, key=lambda lot: lot.rank)[:SHOWN]


Work = Callable[[HttpRequest, PickList, PickLine, dict[str, Any]], str]


def _step(name: str, form: type[KeyedForm]) -> Callable[[Work], Callable[..., HttpResponse]]:
    def decorated(work: Work) -> Callable[..., HttpResponse]:
        @doing(CHANGE)
        @require_POST
        def answered(request: HttpRequest, number: int, row: int) -> HttpResponse:
            found, asked = of_numbers(number, row)
            sent = form(request.POST)
            if not sent.is_valid():
                return page(request, found, asked, status=400, bound={name: sent})
            try:
                words = work(request, found, asked, said(sent))
            except Refusal as refusal:
                told(sent, refusal)
                status = refusal.status
                return page(request, found, asked, status=status, bound={name: sent})
            messages.success(request, words)
            return redirect("picks:list", number)

        return answered

    return decorated


@_step("hand", HandForm)
def pick(request: HttpRequest, found: PickList, asked: PickLine, told: dict[str, Any]) -> str:
    """Taken, and confirmed by hand."""
    done = picking.pick(pick_list=found, line=asked, by=by(request), at=timezone.now(), **told)
    return f"✓ {done.quantity} of {done.lot} from {done.place}, by hand."


@_step("other", OtherForm)
def other(request: HttpRequest, found: PickList, asked: PickLine, told: dict[str, Any]) -> str:
    """Another lot, or the same from another place."""
    read = picking.scanned_for(asked, told["lot"])
    place = told["place"] or read.place
    done = picking.take_other(
        pick_list=found,
        line=asked,
        lot=read.lot,
        place=place,
        why=told["why"],
        confirmed=told["confirmed"] or Confirmed.HAND,
        quantity=told["quantity"],
        by=by(request),
        at=timezone.now(),
    )
    return f"✓ {done.quantity} of {read.lot} from {place} instead."


@_step("short", ShortForm)
def short(request: HttpRequest, found: PickList, asked: PickLine, told: dict[str, Any]) -> str:
    """Fewer are there: what stands in for the rest is said, or what is missing."""
    done = picking.short(pick_list=found, line=asked, by=by(request), at=timezone.now(), **told)
    return done.words
