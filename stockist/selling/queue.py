"""The queue for tyres that have not come: who asked first, for which day."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.activities import preordering
from inventory.activities.preordering import axles_of, kept_now
from inventory.ground.refusal import Refusal
from inventory.models.preorder import PreOrder, PreOrderState
from stockist.listing import Cell, Row
from stockist.selling.asked import AskAgain, SetAsked
from stockist.selling.forms import QueueForm, WhyForm
from stockist.selling.listing import NEWEST, listed, narrowed
from stockist.selling.saying import kept_answer
from stockist.selling.steps import step
from stockist.selling.taking import Step, Wanted, in_days
from stockist.selling.taking import step as taken
from stockist.steps import by, looking

IN_TURN = ("queued_at", "who asked first")
ORDERS = (
    IN_TURN,
    ("promised_on", "by the day promised"),
    ("customer__name", "by customer"),
    NEWEST,
)
HEADS = ("Place", "For", "What", "Promised for", "If short", "Where it stands")
STATES = (("", "waiting"), ("any", "any"), *PreOrderState.choices[1:])
_SIGNS = {
    PreOrderState.WAITING: ("→", "cannot_tell"),
    PreOrderState.SERVED: ("✓", "suits"),
    PreOrderState.WITHDRAWN: ("–", "caution"),
    PreOrderState.MISSED: ("!", "caution"),
}


@looking("inventory.view_preorder")
@require_GET
def waiting(request: HttpRequest) -> HttpResponse:
    """Who waits for what is to come?"""

    def rows(said: Any) -> QuerySet[PreOrder]:
        found: Any = PreOrder.objects.select_related("customer", "queued_by")
        state = said.get("state") or PreOrderState.WAITING
        if state != "any":
            found = found.filter(state=state)
        return narrowed(found, said, "WA-", "what", "note", "lines__expected__sku__code").distinct()

    return listed(
        request, title="Who waits for what is to come?", empty="Nobody waits. Where the counter "
        "has none and some are expected, a customer is queued from there.", heads=HEADS,
        states=STATES, orders=ORDERS, rows=rows, said=queue_row,
    )  # fmt: skip


def queue_row(one: PreOrder) -> Row:
    """A place in the queue, in a list."""
    cells = (
        Cell(str(one.customer)), Cell(one.what), Cell(f"{one.promised_on:%d %b %Y}"),
        Cell(one.get_if_short_display()), state_of(one),
    )  # fmt: skip
    return Row(one.number, reverse("selling:queued", args=[one.pk]), cells)


def state_of(one: PreOrder) -> Cell:
    """How it stands, with its sign."""
    return Cell(one.get_state_display(), *_SIGNS[PreOrderState(one.state)])


@looking("inventory.view_preorder")
@require_GET
def one(request: HttpRequest, number: int) -> HttpResponse:
    """One place in the queue: which deliveries it counts on, and who stands before it."""
    return page(request, get_object_or_404(rows_of(), pk=number))


def rows_of() -> QuerySet[PreOrder]:
    return PreOrder.objects.select_related(
        "customer", "car", "queued_by", "ended_by", "hold", "order_line__order"
    )


def page(
    request: HttpRequest,
    found: PreOrder,
    *,
    refused: str = "",
    status: int = 200,
    bound: dict[str, Any] | None = None,
) -> HttpResponse:
    """The page of a place in the queue."""
    lines = list(found.lines.select_related("expected__sku").order_by("expected__expected_on"))
    before = PreOrder.objects.waiting().filter(
        lines__expected__in=[line.expected_id for line in lines], queued_at__lt=found.queued_at
    )
    waits = found.state == PreOrderState.WAITING
    kept = kept_now(found, at=timezone.now())
    context = {
        "queued": found,
        "stands": state_of(found),
        "lines": lines,
        "before": before.distinct().count() if waits else 0,
        "waits": waits,
        "late": waits and any(line.expected.expected_on > found.promised_on for line in lines),
        "kept": kept_answer(found.answer),
        "part": kept,
        "axles": axles_of(kept),
        "may_withdraw": request.user.has_perm("inventory.change_preorder") and waits,
        "withdraw": WhyForm(),
        "refused": refused,
        **(bound or {}),
    }
    return render(request, "selling/queued.html", context, status=status)


def _filled(request: HttpRequest, at: datetime, asked: SetAsked | None) -> dict[str, Any]:
    if asked is None:
        return {}
    try:
        day = preordering.plan(asked.need, at=at).day
    except Refusal:
        return {}
    return {"promised_on": max(day, in_days(at, 0))}


@taken(
    "inventory.add_preorder", QueueForm,
    Step("Queue for what is to come", "Queue for it"), _filled,
)  # fmt: skip
def make(request: HttpRequest, form: QueueForm, wanted: Wanted) -> tuple[str, int, str]:
    """Queue a customer for the set that the counter has not got."""
    if wanted.asked is None:
        raise AskAgain
    made = preordering.queue(
        customer=wanted.customer, car=wanted.car, need=wanted.asked.need, what=wanted.asked.what,
        said=wanted.asked.said, **form.values("promised_on", "if_short", "note"),
        by=by(request), at=wanted.at,
    )  # fmt: skip
    return "selling:queued", made.pk, f"{made.number}: {wanted.customer} is queued."


withdraw = step(
    permission="inventory.change_preorder", rows=rows_of, called="pre_order", form=WhyForm,
    name="withdraw", work=preordering.withdraw, page=page,
    to=lambda row: ("selling:queued", row.pk), done="The place in the queue is given up.",
)  # fmt: skip
