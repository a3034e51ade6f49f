"""Production batches: until when one can order, when they are ready, how many make one."""

from __future__ import annotations

from datetime import date
from functools import partial

from django.db.models import Sum
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from inventory.activities import purchasing
from inventory.activities.purchasing.judging import ORDERED
from inventory.models.purchase import PurchaseLine
from inventory.models.supplier_terms import ProductionBatch
from stockist.listing import Cell, Row, table
from stockist.purchasing.agreed import changed, entered, latest
from stockist.purchasing.terms_forms import BatchForm, BatchListForm, NewBatchForm
from stockist.steps import doing, looking

LOOK, ADD = "inventory.view_productionbatch", "inventory.add_productionbatch"
CHANGE = "inventory.change_productionbatch"
HEADS = ("Batch", "Supplier", "Order by", "Expected", "Least together", "SKUs")
SOON = 14
"""So many days before its cut-off a batch is said to close soon."""
NAMED = 4


@looking(LOOK)
@require_GET
def batches(request: HttpRequest) -> HttpResponse:
    """Which batches can be ordered, the first cut-off first."""
    form, today = BatchListForm(request.GET or None), timezone.localdate()
    doors = [("Terms of suppliers", reverse("purchasing:terms"))]
    if request.user.has_perm(ADD):
        doors.insert(0, ("Enter a batch", reverse("purchasing:batch-new")))
    context = {
        "title": "Which batches can be ordered, and until when?",
        "doors": doors,
        "form": form,
        "table": table(request, form.asked(today), HEADS, lambda one: _row(one, today)),
        "empty": "None like that.",
    }
    return render(request, "stockist/list.html", context)


def _row(one: ProductionBatch, today: date) -> Row:
    codes = sorted(sku.code for sku in one.skus.all())
    more = f" and {len(codes) - NAMED} more" if len(codes) > NAMED else ""
    cells = (
        Cell(str(one.supplier)),
        cut_off(one, today),
        Cell(f"{one.ready_on:%d %b %Y}"),
        Cell(str(one.minimum_tyres), number=True),
        Cell(", ".join(codes[:NAMED]) + more or "all that it sells"),
    )
    return Row(one.code, reverse("purchasing:batch", args=[one.pk]), cells)


def cut_off(batch: ProductionBatch, today: date) -> Cell:
    """Until when it can be ordered, and whether that is near or past."""
    day, left = f"{batch.order_by:%d %b %Y}", (batch.order_by - today).days
    if left < 0:
        return Cell(f"{day}, past", "–", "caution")
    if left <= SOON:
        return Cell(f"{day}, {left} days left" if left else f"{day}, today", "!", "caution")
    return Cell(day)


@doing(ADD)
def batch_new(request: HttpRequest) -> HttpResponse:
    """Enter a batch that is announced."""
    form = NewBatchForm(request.POST or None)
    page = {
        "title": "What is to be made, and until when can it be ordered?",
        "back": reverse("purchasing:batches"),
        "back_to": "Production batches",
    }
    return entered(request, form, purchasing.make_batch, page, "purchasing:batch")


@looking(LOOK)
@require_GET
def batch(request: HttpRequest, number: int) -> HttpResponse:
    """One batch, and what of it is ordered."""
    return _page(request, _found(number))


@doing(CHANGE)
@require_POST
def batch_change(request: HttpRequest, number: int) -> HttpResponse:
    """Change what is known of it, unless somebody else has done so meanwhile."""
    found, form = _found(number), BatchForm(request.POST)
    work = partial(purchasing.change_batch, batch=found)
    return changed(request, form, work, "purchasing:batch", partial(_page, request, found))


def _found(number: int) -> ProductionBatch:
    return get_object_or_404(ProductionBatch.objects.select_related("supplier"), pk=number)


def _page(
    request: HttpRequest,
    found: ProductionBatch,
    form: BatchForm | None = None,
    refused: str = "",
    status: int = 200,
) -> HttpResponse:
    now, shown = latest(found), _found(found.pk)
    sent = PurchaseLine.objects.filter(order__batch=shown, order__state__in=ORDERED)
    context = {
        **now,
        "batch": shown,
        "cut_off": cut_off(shown, timezone.localdate()),
        "skus": shown.skus.order_by("code"),
        "ordered": sent.aggregate(all=Sum("quantity"))["all"] or 0,
        "form": form or BatchForm.of(shown, now["seen"]),
        "may_change": request.user.has_perm(CHANGE),
        "refused": refused,
    }
    return render(request, "purchasing/batch.html", context, status=status)
