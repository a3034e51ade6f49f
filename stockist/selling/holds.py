"""Holds: what is held for whom until when, made from the counter's answer, extended, released."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.activities import holding
from inventory.models.hold import Hold, HoldState, blocks_on
from stockist.listing import Cell, Row
from stockist.selling.asked import AskAgain, SetAsked
from stockist.selling.forms import ExtendForm, HoldForm, WhyForm
from stockist.selling.listing import NEWEST, listed, narrowed
from stockist.selling.saying import kept_answer
from stockist.selling.steps import step
from stockist.selling.taking import Step, Wanted, end_of, in_days, shown_in
from stockist.selling.taking import step as taken
from stockist.steps import by, looking

STANDING, RUN_OUT = "standing", "run_out"
STATES = (
    ("", "standing"), (RUN_OUT, "run out"), ("any", "any"),
    *((one, words) for one, words in HoldState.choices if one != HoldState.OPEN),
)  # fmt: skip
ORDERS = (NEWEST, ("until", "runs out soonest"), ("customer__name", "by customer"))
HEADS = ("Hold", "For", "What", "Until", "By", "Where it stands")


@looking("inventory.view_hold")
@require_GET
def holds(request: HttpRequest) -> HttpResponse:
    """What is held, for whom, until when?"""
    at = timezone.now()

    def rows(said: Any) -> QuerySet[Hold]:
        found: Any = Hold.objects.with_names()
        state = said.get("state") or STANDING
        if state == STANDING:
            found = found.standing(at)
        elif state == RUN_OUT:
            found = found.lapsed(at)
        elif state != "any":
            found = found.filter(state=state)
        return narrowed(found, said, "HO-", "what", "why")

    return listed(
        request, title="What is held, for whom?", empty="Nothing like that is held. Hold a set "
        "from the counter's answer.", heads=HEADS, states=STATES, orders=ORDERS, rows=rows,
        said=lambda one: hold_row(one, at),
    )  # fmt: skip


def hold_row(hold: Hold, at: datetime) -> Row:
    """A hold in a list."""
    until = "as long as its order"
    if hold.until and not hold.order_line_id:
        until = f"{timezone.localtime(hold.until):%d %b %Y, %H:%M}"
    cells = (
        Cell(str(hold.customer)), Cell(hold.what), Cell(until), Cell(str(hold.made_by)),
        state_of(hold, at),
    )  # fmt: skip
    return Row(hold.number, reverse("selling:hold", args=[hold.pk]), cells)


def state_of(hold: Hold, at: datetime) -> Cell:
    """How it stands, with its sign: one that ran out is free, whatever the row says."""
    if hold.lapsed_by(at):
        return Cell("run out: free for others", "–", "caution")
    if hold.state == HoldState.OPEN:
        return Cell("held for an order" if hold.order_line_id else "held", "✓", "suits")
    sign = "✓" if hold.state == HoldState.SENT else "–"
    tone = "suits" if hold.state == HoldState.SENT else "caution"
    return Cell(hold.get_state_display(), sign, tone)


@looking("inventory.view_hold")
@require_GET
def hold(request: HttpRequest, number: int) -> HttpResponse:
    """One hold: its lots, what was asked and answered, and what may be done."""
    return page(request, get_object_or_404(rows_of(), pk=number))


def rows_of() -> QuerySet[Hold]:
    return Hold.objects.with_names().select_related("order_line__order", "kept_for")


def page(
    request: HttpRequest,
    found: Hold,
    *,
    refused: str = "",
    status: int = 200,
    bound: dict[str, Any] | None = None,
) -> HttpResponse:
    """The page of a hold."""
    at = timezone.now()
    lines = found.lines.with_blocks().select_related("lot__sku", "place").order_by("pk")
    stands = found.state == HoldState.OPEN and not found.lapsed_by(at)
    alone = stands and found.order_line_id is None
    context = {
        "hold": found,
        "stands": state_of(found, at),
        "lines": [(line, blocks_on(line) if stands else []) for line in lines],
        "extensions": list(found.extensions.select_related("extended_by")),
        "kept": kept_answer(found.answer),
        "may_change": request.user.has_perm("inventory.change_hold") and stands,
        "may_extend": request.user.has_perm("inventory.change_hold") and alone,
        "may_order": request.user.has_perm("inventory.add_order") and alone,
        "extend": ExtendForm(initial={"until": in_days(at, 7)}),
        "release": WhyForm(),
        "refused": refused,
        **(bound or {}),
    }
    return render(request, "selling/hold.html", context, status=status)


def _filled(request: HttpRequest, at: datetime, asked: SetAsked | None) -> dict[str, Any]:
    return {"until": in_days(at)}


@taken(
    "inventory.add_hold", HoldForm,
    Step("Hold this set", "Hold it"), _filled,
)  # fmt: skip
def make(request: HttpRequest, form: HoldForm, wanted: Wanted) -> tuple[str, int, str]:
    """Hold the set that the counter answered."""
    if wanted.asked is None:
        raise AskAgain
    said = form.cleaned_data
    made = holding.hold_sets(
        customer=wanted.customer, car=wanted.car, need=wanted.asked.need, what=wanted.asked.what,
        until=end_of(said["until"]), sets=1 if said["sets"] is None else said["sets"],
        shown=shown_in(said["shown"]), said=wanted.asked.said,
        **form.values("other_choice", "pinned", "why"), by=by(request), at=wanted.at,
    )  # fmt: skip
    numbers = ", ".join(one.number for one in made)
    until = f"{said['until'].day} {said['until']:%B}"
    return "selling:hold", made[0].pk, f"{numbers}: held for {wanted.customer} until {until}."


def _to(row: Hold) -> tuple[str, int]:
    return "selling:hold", row.pk


extend = step(
    permission="inventory.change_hold", rows=rows_of, called="hold", form=ExtendForm,
    name="extend", work=holding.extend, page=page, to=_to, done="It runs longer now.",
    values=lambda form: {
        "until": end_of(form.cleaned_data["until"]), "why": form.cleaned_data["why"],
    },
)  # fmt: skip
release = step(
    permission="inventory.change_hold", rows=rows_of, called="hold", form=WhyForm,
    name="release", work=holding.release, page=page, to=_to,
    done="Released: its tyres are free.",
)  # fmt: skip
