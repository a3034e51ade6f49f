"""One pick list, place after place: a scan confirms what is taken, and the next place comes up."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from inventory.activities import picking
from inventory.ground.refusal import Refusal
from inventory.models.pick import Confirmed, PickLine, PickList, PickListState
from stockist.goods_in.scans import lot_named
from stockist.picks import line as one_line
from stockist.picks.forms import PackForm, ScanForm, WhyForm
from stockist.picks.rows import lines_said, list_row, missing_said, with_counts
from stockist.steps import by, doing, focus, fresh_key, looking, told

CHANGE = "inventory.change_picklist"
PICKING = (PickListState.OPEN, PickListState.PICKED)


def of_number(number: int) -> PickList:
    """The list of an address."""
    return get_object_or_404(with_counts(PickList.objects.all()), pk=number)


@looking("inventory.view_picklist")
@require_GET
def listed(request: HttpRequest, number: int) -> HttpResponse:
    """Where to go next, what to take there, and what is done."""
    return page(request, of_number(number))


@doing(CHANGE)
@require_POST
def scan(request: HttpRequest, number: int) -> HttpResponse:
    """What was scanned is taken, if it is what is wanted; another lot is asked about."""
    found, form = of_number(number), ScanForm(request.POST)
    if not form.is_valid():
        return page(request, found, form=form, status=400)
    text = form.cleaned_data["scanned"]
    line = meant(found, text, form.cleaned_data["line"])
    if line is None:
        return page(request, found, refused="Nothing on this list is to be picked any more.",
                    status=409)  # fmt: skip
    try:
        read = picking.scanned_for(line, text)
        if not read.asked:
            return one_line.ask_about(request, found, line, read)
        picking.pick(
            pick_list=found, line=line, confirmed=Confirmed.SCAN, by=by(request), at=timezone.now()
        )
    except Refusal as refusal:
        told(form, refusal)
        return page(request, found, form=form, shown=line, status=refusal.status)
    messages.success(request, f"✓ {line.quantity} of {line.lot} from {line.place}.")
    return redirect("picks:list", number)


def meant(found: PickList, text: str, shown: int) -> PickLine | None:
    """The line that a scan is for: the one that was shown, unless another one's lot was read."""
    to_pick = picking.standing(found).to_pick
    lot = lot_named(text)
    first = next((line for line in to_pick if line.pk == shown), None)
    if lot is not None and (first is None or lot.pk != first.lot_id):
        for line in to_pick:
            if line.lot_id == lot.pk:
                return line
    return first or next(iter(to_pick), None)


def page(
    request: HttpRequest,
    found: PickList,
    *,
    form: ScanForm | None = None,
    shown: PickLine | None = None,
    refused: str = "",
    status: int = 200,
    bound: dict[str, Any] | None = None,
) -> HttpResponse:
    """The page of a list."""
    stands = picking.standing(found)
    at_work = found.state in PICKING
    to_pick = lines_said(stands.to_pick) if at_work else []
    if shown is not None:
        to_pick.sort(key=lambda one: one.line.pk != shown.pk)
    if to_pick:
        form = form or ScanForm(initial={"line": to_pick[0].line.pk})
        focus(form, "scanned")
    context = {
        "listed": found,
        "row": list_row(found),
        "next": to_pick[0] if to_pick else None,
        "rest": to_pick[1:],
        "done": lines_said(stands.done if at_work else stands.lines),
        "missing": missing_said(stands) if at_work else [],
        "can_pack": at_work and bool(stands.lines) and not stands.still_to_do,
        "may_pick": request.user.has_perm(CHANGE) and at_work,
        "may_cancel": request.user.has_perm(CHANGE)
        and found.state in (*PICKING, PickListState.PACKED),
        "form": form,
        "pack": PackForm(),
        "end": WhyForm(),
        "key": fresh_key(),
        "refused": refused,
        **(bound or {}),
    }
    return render(request, "picks/list.html", context, status=status)
