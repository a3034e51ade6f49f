"""What has left: listed, and each with what was known of it on the day."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.activities import returning
from inventory.models.despatch import Despatch
from stockist.listing import Cell, Row
from stockist.selling.listing import NEWEST, listed, narrowed
from stockist.steps import looking

ORDERS = (NEWEST, ("despatched_at", "oldest first"), ("customer__name", "by customer"))
HEADS = ("Despatch", "To", "Order", "Left", "Parcels", "Against advice")
WORD = "word"


@looking("inventory.view_despatch")
@require_GET
def despatches(request: HttpRequest) -> HttpResponse:
    """What has left, to whom?"""

    def rows(said: Any) -> QuerySet[Despatch]:
        found: Any = Despatch.objects.select_related(
            "customer", "order", "despatched_by", "word_by"
        )
        if said.get("state") == WORD:
            found = found.filter(word_at__isnull=False)
        return narrowed(
            found, said, "DS-", "carrier", "lines__lot__code", "lines__lot__sku__code"
        ).distinct()

    return listed(
        request, title="What has left, to whom?", empty="Nothing like that has left.", heads=HEADS,
        states=(("", "any"), (WORD, "by the owner's word")), orders=ORDERS, rows=rows, said=_row,
        doors=[("Returns", reverse("sending:returns")),
               ("Customers' complaints", reverse("sending:complaints"))],
    )  # fmt: skip


def _row(one: Despatch) -> Row:
    left = f"{timezone.localtime(one.despatched_at):%d %b %Y, %H:%M} by {one.despatched_by}"
    word = Cell(f"{one.word_by}'s word", "!", "caution") if one.word_at else Cell("")
    cells = (Cell(str(one.customer)), Cell(one.order.number), Cell(left), Cell(str(one.parcels)))
    return Row(one.number, reverse("sending:despatch", args=[one.pk]), (*cells, word))


@looking("inventory.view_despatch")
@require_GET
def despatch(request: HttpRequest, number: int) -> HttpResponse:
    """One despatch: what left, what was known, what came back since."""
    found = get_object_or_404(rows_of(), pk=number)
    lines = returning.still_out(found)
    context = {
        "despatch": found,
        "lines": lines,
        "returns": list(found.returns.order_by("pk")),
        "may_return": request.user.has_perm("inventory.add_return")
        and any(one.left for one in lines),
        "may_complain": request.user.has_perm("inventory.add_customercomplaint"),
    }
    return render(request, "sending/despatch.html", context)


def rows_of() -> QuerySet[Despatch]:
    names = ("customer", "order", "pick_list", "despatched_by", "word_by")
    return Despatch.objects.select_related(*names)
