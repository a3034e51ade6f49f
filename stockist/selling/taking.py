"""One way from an answer of the counter to a promise: the set, for whom, the domain call."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from inventory.activities.holding import parts, parts_of
from inventory.ground.refusal import Refusal
from inventory.models.customer import Customer, CustomerCar
from inventory.promising import held_from
from stockist.selling.asked import SetAsked, asked_again
from stockist.selling.forms import WhomForm
from stockist.selling.saying import kept_answer
from stockist.selling.whom import SayWho, car_meant, customer_meant
from stockist.steps import by, doing, told

DAYS = 3


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a form wants done: for whom, for which car, which set (None: no set), at what moment."""

    customer: Customer
    car: CustomerCar | None
    asked: SetAsked | None
    at: datetime


# Does it, and tells where that leads and what to say.
Work = Callable[[HttpRequest, Any, Wanted], tuple[str, int, str]]
Fill = Callable[[HttpRequest, datetime, SetAsked | None], dict[str, Any]]
Whom = Callable[[HttpRequest, Any, SetAsked | None, datetime], Wanted]


@dataclass(frozen=True, slots=True)
class Step:
    """The words of a step."""

    title: str
    button: str


def whom_meant(
    request: HttpRequest, form: WhomForm, asked: SetAsked | None, at: datetime
) -> Wanted:
    """The customer that a form names, who may be new. Raises SayWho, NoSuchCar and the like."""
    car = car_meant(form.cleaned_data["car"])
    said = form.cleaned_data
    if car is not None and not said["who"] and not said["name"]:
        return Wanted(car.customer, car, asked, at)
    customer = customer_meant(said, by=by(request), at=at)
    return Wanted(customer, car if car and car.customer_id == customer.pk else None, asked, at)


def step(
    permission: str, form_class: type[WhomForm], words: Step, fill: Fill, whom: Whom = whom_meant
) -> Callable[[Work], Callable[..., HttpResponse]]:
    """Decorator: a page that shows the set with a form, and does what the form says."""

    def decorated(work: Work) -> Callable[..., HttpResponse]:
        @doing(permission)
        def answered(request: HttpRequest, **numbers: Any) -> HttpResponse:
            at = timezone.now()
            if request.method != "POST":
                return _opened(request, form_class, words, fill, at)
            # From here on no approval is withdrawn until this is promised, or given up.
            at = held_from(at)
            form = form_class(request.POST)
            asked: SetAsked | None = None
            try:
                asked = _asked(form.data, at)
                if not form.is_valid():
                    return _page(request, form, words, asked, status=400)
                wanted = whom(request, form, asked, at)
                route, pk, said = work(request, form, wanted)
            except Refusal as refusal:
                if isinstance(refusal, SayWho) and refusal.among:
                    form.let_choose(refusal.among)
                told(form, refusal)
                return _page(request, form, words, asked, status=refusal.status)
            messages.success(request, said)
            return redirect(route, pk)

        return answered

    return decorated


def _asked(data: Any, at: datetime) -> SetAsked | None:
    address = data.get("asked", "")
    return asked_again(address, data.get("offer", ""), at=at) if address else None


def _opened(
    request: HttpRequest, form_class: type[WhomForm], words: Step, fill: Fill, at: datetime
) -> HttpResponse:
    """The empty form; what it is about and for whom are in the address."""
    given = {name: request.GET.get(name, "") for name in ("asked", "offer", "who", "name")}
    car = car_meant(_number(request.GET.get("car", "")))
    try:
        asked = _asked(request.GET, at)
    except Refusal as refusal:
        form = form_class()
        return _page(request, form, words, None, refused=refusal.sentence, status=refusal.status)
    if asked is not None:
        given["shown"] = parts.written(parts_of(asked.sets))
    if car is not None:
        given |= {"car": str(car.pk), "who": str(car.customer_id), "name": car.customer.name}
    elif given["who"]:
        owner = Customer.objects.filter(pk=_number(given["who"])).first()
        given["name"] = owner.name if owner else ""
    filled = {**given, **fill(request, at, asked)}
    about, judged = filled.pop("about", ""), filled.pop("judged", "")
    return _page(
        request, form_class(initial=filled), words, asked, about=about, judged=judged
    )  # fmt: skip


def _number(text: str) -> int:
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 10 else 0


def _page(
    request: HttpRequest,
    form: WhomForm,
    words: Step,
    asked: SetAsked | None,
    *,
    refused: str = "",
    about: str = "",
    judged: str = "",
    status: int = 200,
) -> HttpResponse:
    context = {
        "about": about,
        "judged": judged,
        "form": form,
        "words": words,
        "asked": asked,
        "kept": kept_answer(asked.said) if asked else None,
        "lots": _lots(asked) if asked else [],
        "refused": refused,
        "usable": not refused,
    }
    return render(request, "selling/take.html", context, status=status)


def _lots(asked: SetAsked) -> list[str]:
    return [
        f"{one.quantity} × {one.lot.date_code or 'no date code'}, lot {one.lot.code} in "
        f"{one.lot.place}, {one.for_place}"
        for one in asked.sets.chosen
    ]


def shown_in(text: str) -> tuple[parts.Part, ...] | None:
    """The lots that the customer was shown. Raises NoSuchParts."""
    return parts.read(text) if text else None


def end_of(day: date) -> datetime:
    """The last second of a day, in the shop's zone."""
    return timezone.make_aware(datetime.combine(day, time(23, 59, 59)))


def in_days(at: datetime, days: int = DAYS) -> date:
    """So many days from now."""
    return timezone.localdate(at) + timedelta(days=days)
