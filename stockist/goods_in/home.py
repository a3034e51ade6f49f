"""Goods in at a glance: what is half booked, what is waited for, what waits to be put away."""

from __future__ import annotations

from typing import Any

from django.db.models import Sum
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.activities import receiving
from inventory.ground.refusal import Refusal
from inventory.models.balance import Balance
from inventory.models.consignment import Consignment
from inventory.models.delivery import Delivery
from inventory.models.expected import ExpectedDelivery
from inventory.models.place import PlaceKind
from inventory.models.storage import Storage
from inventory.models.supplier_complaint import SupplierComplaint
from inventory.models.transfer import TO_COME, Transfer
from stockist.goods_in.forms import DeliveriesForm, OpenForm
from stockist.goods_in.rows import delivery_row
from stockist.listing import newest_first
from stockist.steps import by, doing, looking, told

SOONEST = 10


@looking("inventory.view_delivery")
@require_GET
def home(request: HttpRequest) -> HttpResponse:
    """What is in hand and what is coming."""
    waits = Balance.objects.filter(place__kind=PlaceKind.GOODS_IN, on_hand__gt=0)
    expected = ExpectedDelivery.objects.still_to_come().select_related("sku__pattern__maker")
    context = {
        "in_hand": [
            delivery_row(one)
            for one in Delivery.objects.in_progress().with_names().order_by("pk")[:SOONEST]
        ],
        "expected": expected.order_by("expected_on", "pk")[:SOONEST],
        "to_put_away": waits.aggregate(all=Sum("on_hand"))["all"] or 0,
        "unsettled": SupplierComplaint.objects.unsettled().count(),
        "on_the_way": Transfer.objects.filter(state__in=TO_COME).count(),
        "overdue": Storage.objects.overdue(timezone.localdate()).count(),
        "consigned_overdue": Consignment.objects.overdue(timezone.localdate()).count(),
        "may_book": request.user.has_perm("inventory.add_delivery"),
        "today": timezone.localdate(),
    }
    return render(request, "goods_in/home.html", context)


@looking("inventory.view_delivery")
@require_GET
def deliveries(request: HttpRequest) -> HttpResponse:
    """Every delivery, the newest first."""
    form = DeliveriesForm(request.GET or None)
    rows: Any = Delivery.objects.with_names()
    if form.is_valid():
        wanted = {name: value for name, value in form.cleaned_data.items() if value}
        rows = rows.filter(**wanted)
    listing = newest_first(request, rows)
    context = {"rows": [delivery_row(one) for one in listing.rows], "more": listing.more}
    return render(request, "goods_in/deliveries.html", {**context, "form": form})


@doing("inventory.add_delivery")
def open_one(request: HttpRequest) -> HttpResponse:
    """Begin to book a delivery in."""
    at = timezone.now()
    today = timezone.localdate(at)
    initial = {"order": request.GET.get("order", "")}
    form = OpenForm(request.POST or None, today=today, initial=initial)
    if request.method == "POST" and form.is_valid():
        values = {name: form.cleaned_data[name] for name in (
            "supplier", "order", "note_number", "arrived_on", "place"
        )}  # fmt: skip
        try:
            delivery = receiving.open_delivery(by=by(request), at=at, **values)
        except Refusal as refusal:
            told(form, refusal)
        else:
            return redirect("goods_in:receive", delivery.pk)
    status = 400 if form.is_bound else 200
    return render(request, "goods_in/open.html", {"form": form}, status=status)
