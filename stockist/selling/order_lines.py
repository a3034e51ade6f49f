"""What is done with one line of an order: more or fewer, held, queued for, given up."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.contrib.auth.models import User
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse

from inventory.activities import answers, ordering, preordering
from inventory.activities.ordering import Holding
from inventory.ground.idempotency import KeyedForm
from inventory.models.hold import Hold
from inventory.models.preorder import IfShort, PreOrder
from inventory.models.sale import OrderLine
from stockist.selling import order_page
from stockist.selling.forms import LineForm, WhyForm
from stockist.selling.steps import step


def rows_of() -> QuerySet[OrderLine]:
    names = ("customer", "car", "made_by", "ended_by")
    return OrderLine.objects.select_related(*(f"order__{name}" for name in names))


def page(request: HttpRequest, found: OrderLine, **told: Any) -> HttpResponse:
    """The page of the order; what is wrong with a line stands at its head."""
    told.pop("bound", None)
    return order_page.page(request, found.order, **told)


def _queue(*, line: OrderLine, by: User, at: datetime) -> PreOrder:
    """Queue for one set of a line, for the day on which all of it is due."""
    need = answers.need_of(line.recipe or {"places": []}, line.answer)
    day = preordering.plan(need, at=at).day
    return preordering.queue(
        customer=line.order.customer, car=line.order.car, need=need, what=line.what,
        promised_on=max(day, at.date()), if_short=IfShort.WAIT, order_line=line,
        said=answers.said_of(line.answer), by=by, at=at,
    )  # fmt: skip


def _held(made: tuple[Hold, ...]) -> str:
    return f"Held: {', '.join(one.number for one in made)}."


CHANGE = "inventory.change_order"
SAME: dict[str, Any] = {
    "rows": rows_of, "called": "line", "page": page,
    "to": lambda row: ("selling:order", row.order_id),
}  # fmt: skip
change = step(
    **SAME, permission=CHANGE, form=LineForm, name="line",
    done="Kept. What is not held yet is held by its own step.",
    work=lambda **told: ordering.change_line(holding=Holding.NOTHING, **told),
)  # fmt: skip
hold = step(
    **SAME, permission=CHANGE, form=KeyedForm, name="line", work=ordering.hold_line, done=_held
)
queue = step(
    **SAME, permission="inventory.add_preorder", form=KeyedForm, name="line", work=_queue,
    done=lambda made: f"{made.number}: promised for {made.promised_on:%d %b %Y}.",
)  # fmt: skip
cancel = step(
    **SAME, permission=CHANGE, form=WhyForm, name="line", work=ordering.cancel_line,
    done="The line is given up: what was held for it is free.",
)  # fmt: skip
