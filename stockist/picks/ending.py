"""A list is packed, a set left out of it, or all of it cancelled."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from inventory.activities import picking
from inventory.ground.idempotency import KeyedForm
from inventory.ground.refusal import Refusal
from inventory.models.hold import Hold
from inventory.models.pick import PickList
from stockist.picks.forms import LeaveOutForm, PackForm, WhyForm, said
from stockist.picks.listed import CHANGE, of_number, page
from stockist.steps import by, doing


def _step(
    name: str, form: type[KeyedForm], to: str, work: Callable[..., Any], done: str
) -> Callable[..., HttpResponse]:
    @doing(CHANGE)
    @require_POST
    def answered(request: HttpRequest, number: int) -> HttpResponse:
        found, sent = of_number(number), form(request.POST)
        if not sent.is_valid():
            words = " ".join(str(error) for some in sent.errors.values() for error in some)
            return page(request, found, refused=words, status=400, bound={name: sent})
        try:
            work(pick_list=found, by=by(request), at=timezone.now(), **said(sent))
        except Refusal as refusal:
            words, status = refusal.sentence, refusal.status
            return page(request, found, refused=words, status=status, bound={name: sent})
        messages.success(request, done)
        return redirect(to, number)

    return answered


def _leave_out(*, pick_list: PickList, hold: int, **told: Any) -> None:
    """Leave the set of a hold's number out; one that is not there is refused as not on the list."""
    found = Hold.objects.filter(pk=hold).first() or Hold(pk=hold)
    picking.leave_out(pick_list=pick_list, hold=found, **told)


pack = _step("pack", PackForm, "picks:leave", picking.pack, "Packed.")
leave_out = _step(
    "out", LeaveOutForm, "picks:list", _leave_out,
    "Left out: what was picked of it is back in its racks, and free.",
)  # fmt: skip
cancel = _step(
    "end", WhyForm, "picks:list", picking.cancel_list,
    "Cancelled: what was picked is back in its racks, and still held for the order.",
)  # fmt: skip
