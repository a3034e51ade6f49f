"""May it leave? What the rules say of each set on its car, the owner's word, and the sending."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from inventory.activities import despatching
from inventory.ground.refusal import Refusal
from inventory.models.pick import PickList, PickListState
from inventory.release import May
from stockist.picks.forms import SendForm, WordForm, said
from stockist.picks.listed import of_number
from stockist.picks.rows import list_row
from stockist.steps import by, doing, looking, told

WORD, SEND = "inventory.word_despatch", "inventory.add_despatch"
_SIGNS = {
    May.LEAVE: ("✓", "suits", "may leave"),
    May.WITH_A_WORD: ("!", "caution", "only with the owner's word"),
    May.STAY: ("✕", "does_not_suit", "must stay"),
}


@dataclass(frozen=True, slots=True)
class SetSaid:
    """One set as it would leave, with what is said of it."""

    leaving: despatching.Leaving
    sign: str
    tone: str
    word: str


@looking("inventory.view_picklist")
@require_GET
def page(request: HttpRequest, number: int) -> HttpResponse:
    """What would leave, and whether it may."""
    return _page(request, of_number(number))


@doing(WORD)
@require_POST
def word(request: HttpRequest, number: int) -> HttpResponse:
    """The owner's word that it leaves against advice, with a reason."""
    found, form = of_number(number), WordForm(request.POST)
    if form.is_valid():
        try:
            despatching.give_word(pick_list=found, by=by(request), at=timezone.now(), **said(form))
        except Refusal as refusal:
            told(form, refusal)
            return _page(request, found, status=refusal.status, bound={"word": form})
        messages.success(
            request, "Your word is kept with the list, and will stand on the despatch."
        )
        return redirect("picks:leave", number)
    return _page(request, found, status=400, bound={"word": form})


@doing(SEND)
@require_POST
def send(request: HttpRequest, number: int) -> HttpResponse:
    """It leaves: booked out, and what was known of it is frozen."""
    found, form = of_number(number), SendForm(request.POST)
    if form.is_valid():
        try:
            sent = despatching.despatch(
                pick_list=found, by=by(request), at=timezone.now(), **said(form)
            )
        except Refusal as refusal:
            told(form, refusal)
            return _page(request, found, status=refusal.status, bound={"send": form})
        messages.success(request, f"{sent.number} has left. Its delivery note goes with it.")
        return redirect("sending:despatch", sent.pk)
    return _page(request, found, status=400, bound={"send": form})


def _page(
    request: HttpRequest,
    found: PickList,
    *,
    status: int = 200,
    bound: dict[str, Any] | None = None,
) -> HttpResponse:
    sets: list[despatching.Leaving] = []
    refused, packed = "", found.state == PickListState.PACKED
    if packed:
        try:
            sets = despatching.leaving(found, at=timezone.now())
        except Refusal as refusal:
            refused = refusal.sentence
    about = despatching.about(sets)
    covered = bool(about) and despatching.is_covered(found, about)
    stays = any(one.release.may is May.STAY for one in sets)
    context = {
        "listed": found,
        "row": list_row(found),
        "packed": packed,
        "sets": [SetSaid(one, *_SIGNS[one.release.may]) for one in sets],
        "cautions": list(dict.fromkeys(w for one in sets for w in one.release.cautions)),
        "needs_word": bool(about) and not covered,
        "stays": stays,
        "may_word": request.user.has_perm(WORD) and bool(about) and not covered,
        "may_send": request.user.has_perm(SEND)
        and bool(sets) and not stays and (covered or not about),
        "word": WordForm(),
        "send": SendForm(),
        "refused": refused,
        **(bound or {}),
    }  # fmt: skip
    return render(request, "picks/leave.html", context, status=status)
