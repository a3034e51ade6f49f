"""Counts: begun, entered scan by scan and blind, handed in, posted."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from inventory.activities import counting
from inventory.activities.counting.ending import differences
from inventory.ground.refusal import Refusal
from inventory.models.count import Count, CountState
from inventory.models.hold import Hold
from stockist.counts.forms import BeginForm, CountsForm, EnterForm, GiveUpForm, PostForm
from stockist.listing import newest_first
from stockist.steps import by, doing, focus, fresh_key, looking, told

_COUNTED = (CountState.COUNTING, CountState.AGAIN)
_LINES = 100


@looking("inventory.view_count")
@require_GET
def counts(request: HttpRequest) -> HttpResponse:
    """Which counts there are, the newest first, and what is to be counted next."""
    return _list(request, BeginForm(initial={"scan": request.GET.get("scan", "")}))


@doing("inventory.add_count")
@require_POST
def begin(request: HttpRequest) -> HttpResponse:
    """Begin to count."""
    form = BeginForm(request.POST)
    if form.is_valid():
        try:
            count = counting.begin(by=by(request), at=timezone.now(), **form.values())
        except Refusal as refusal:
            told(form, refusal)
        else:
            return redirect("counts:count", count.pk)
    return _list(request, form, 400)


@looking("inventory.view_count")
@require_GET
def count(request: HttpRequest, number: int) -> HttpResponse:
    """One count as it stands."""
    return _page(request, number)


@doing("inventory.change_count")
@require_POST
def enter(request: HttpRequest, number: int) -> HttpResponse:
    """So many more of a lot are there."""
    found = _found(number)
    form = EnterForm(request.POST, count=found)
    if form.is_valid():
        said = {key: form.cleaned_data[key] for key in form.fields if key != "idempotency_key"}
        try:
            line = counting.enter(count=found, by=by(request), at=timezone.now(), **said)
        except Refusal as refusal:
            if not refusal.at_fault:
                return _page(request, number, refused=refusal.sentence, status=refusal.status)
            told(form, refusal)
        else:
            where = "" if found.place_id else f" in {line.place}"
            messages.success(request, f"✓ {line.lot}{where}: {line.counted} counted.")
            return redirect("counts:count", number)
    return _page(request, number, form=form, status=400)


@doing("inventory.change_count")
@require_POST
def strike(request: HttpRequest, number: int, line: int) -> HttpResponse:
    """Take a line out that was entered by mistake."""
    return _step(request, number, lambda **who: counting.strike(line=line, **who), "Taken out.")


@doing("inventory.change_count")
@require_POST
def take_up(request: HttpRequest, number: int) -> HttpResponse:
    """Go on with what somebody else began."""
    return _step(request, number, counting.take_up, "It is in your hands now.")


@doing("inventory.change_count")
@require_POST
def hand_in(request: HttpRequest, number: int) -> HttpResponse:
    """All that is there was entered."""

    def work(**who: Any) -> str:
        done, broken = counting.hand_in(**who)
        return _said(done, broken)

    return _step(request, number, work, "")


@doing("inventory.change_count")
@require_POST
def post(request: HttpRequest, number: int) -> HttpResponse:
    """Post the differences."""
    form = PostForm(request.POST)
    form.is_valid()

    def work(**who: Any) -> str:
        done, broken = counting.post_count(alone=form.cleaned_data["alone"], **who)
        return _said(done, broken)

    return _step(request, number, work, "")


@doing("inventory.change_count")
@require_POST
def give_up(request: HttpRequest, number: int) -> HttpResponse:
    """End it with nothing posted."""
    why = request.POST.get("why", "")[:1000]
    return _step(request, number, lambda **who: counting.give_up(why=why, **who), "Given up.")


def _step(request: HttpRequest, number: int, work: Any, done: str) -> HttpResponse:
    try:
        said = work(count=_found(number), by=by(request), at=timezone.now())
    except Refusal as refusal:
        return _page(request, number, refused=refusal.sentence, status=refusal.status)
    messages.success(request, said if isinstance(said, str) else done)
    return redirect("counts:count", number)


def _said(done: Count, broken: Sequence[Hold]) -> str:
    if done.state == CountState.AGAIN:
        return "It does not agree with the ledger. Count again what is listed, without looking up."
    if done.state == CountState.TO_POST:
        return "The difference is large: another person looks at it and posts it."
    words = "✓ Posted." if done.posting_id else "✓ It agrees: nothing to post."
    if broken:
        words += f" Broken, for want of tyres: {', '.join(hold.number for hold in broken)}."
    return words


def _found(number: int) -> Count:
    return get_object_or_404(Count.objects.with_names(), pk=number)


def _list(request: HttpRequest, begin_form: BeginForm, status: int = 200) -> HttpResponse:
    form = CountsForm(request.GET or None)
    rows: Any = Count.objects.with_names()
    if form.is_valid():
        rows = rows.filter(**{key: one for key, one in form.cleaned_data.items() if one})
    listing = newest_first(request, rows)
    focus(begin_form, "scan")
    context = {
        "rows": listing.rows,
        "more": listing.more,
        "form": form,
        "begin": begin_form,
        "may_count": request.user.has_perm("inventory.add_count"),
    }
    return render(request, "counts/counts.html", context, status=status)


def _page(
    request: HttpRequest,
    number: int,
    *,
    form: EnterForm | None = None,
    refused: str = "",
    status: int = 200,
) -> HttpResponse:
    found = _found(number)
    counted, again = found.state in _COUNTED, found.state == CountState.AGAIN
    form = form or EnterForm(count=found)
    focus(form, "lot" if found.place_id else "place")
    lines = found.lines.select_related("lot__sku", "place", "counted_by").filter(again=again)
    off = [] if found.state == CountState.COUNTING else differences(found)
    context = {
        "count": found,
        "counted": counted,
        "again": again,
        "to_post": found.state == CountState.TO_POST,
        "mine": found.at_work_by == request.user,
        "may_count": request.user.has_perm("inventory.change_count"),
        "form": form,
        "lines": lines.order_by("-pk")[:_LINES] if counted else [],
        # While it is counted, only which: never how many, nor in which direction.
        "off": off,
        "give_up": GiveUpForm(auto_id="give_up_%s"),
        "post": PostForm(auto_id="post_%s"),
        "refused": refused,
        "key": fresh_key(),
    }
    return render(request, "counts/count.html", context, status=status)
