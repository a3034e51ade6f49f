"""A delivery taken up by somebody else, booked as a whole, or given up."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from inventory.activities import receiving
from inventory.ground.refusal import Refusal
from inventory.models.delivery import Delivery
from stockist.goods_in.forms import FinishForm, GiveUpForm
from stockist.goods_in.receive import of_number
from stockist.steps import by, doing, told


@doing("inventory.change_delivery")
@require_POST
def take_up(request: HttpRequest, number: int) -> HttpResponse:
    """Take a half-finished booking in hand."""
    delivery = of_number(number)
    try:
        receiving.take_up(delivery=delivery, by=by(request), at=timezone.now())
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
    return redirect("goods_in:receive", delivery.pk)


@doing("inventory.change_delivery")
def finish(request: HttpRequest, number: int) -> HttpResponse:
    """Look at what would come of it, then book all of it."""
    delivery = of_number(number)
    if request.method != "POST":
        return _page(request, delivery, FinishForm(initial={"seen": _version(delivery)}))
    form = FinishForm(request.POST)
    if form.is_valid():
        try:
            done = receiving.finish(
                delivery=delivery,
                seen=form.cleaned_data["seen"],
                by=by(request),
                at=timezone.now(),
            )
        except Refusal as refusal:
            fresh = of_number(number)
            again = FinishForm(initial={"seen": _version(fresh)})
            return _page(request, fresh, again, refused=refusal.sentence, status=refusal.status)
        messages.success(request, _said(done))
        return redirect("goods_in:receive", delivery.pk)
    return _page(request, delivery, form, status=400)


@doing("inventory.change_delivery")
def give_up(request: HttpRequest, number: int) -> HttpResponse:
    """Give a booking up, with the reason."""
    delivery = of_number(number)
    form = GiveUpForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        why = form.cleaned_data["why"]
        try:
            receiving.give_up(delivery=delivery, why=why, by=by(request), at=timezone.now())
        except Refusal as refusal:
            told(form, refusal)
        else:
            messages.success(request, f"{delivery.number} is given up; nothing of it was booked.")
            return redirect("goods_in:home")
    context = {"delivery": delivery, "form": form}
    status = 400 if form.is_bound else 200
    return render(request, "goods_in/give_up.html", context, status=status)


def _version(delivery: Delivery) -> int | None:
    return delivery.order.version if delivery.order else None


def _said(done: receiving.Received) -> str:
    words = f"{done.delivery.number} is booked in: {done.kept} to goods in"
    if done.put_aside:
        words += f", {done.put_aside} to quarantine"
    if done.complaints:
        count = len(done.complaints)
        words += f"; {count} complaint{'' if count == 1 else 's'} to the supplier opened"
    return f"{words}."


def _page(
    request: HttpRequest, delivery: Delivery, form: Any, *, refused: str = "", status: int = 200
) -> HttpResponse:
    context = {
        "delivery": delivery,
        "form": form,
        "standing": receiving.standing(delivery),
        "refused": refused,
    }
    return render(request, "goods_in/finish.html", context, status=status)
