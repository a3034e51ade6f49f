"""A customer's car: what it is, and what stands on its wheels now."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from fitments.activities.fittings import identify
from inventory.activities import cataloguing
from inventory.ground.refusal import Refusal
from inventory.models.customer import Customer, CustomerCar
from stockist.customers.asking import address_of, variants_of
from stockist.customers.forms import CarForm, known_of
from stockist.steps import by, doing

AXLES = ("front", "rear")


@doing("inventory.add_customercar")
def make(request: HttpRequest, number: int) -> HttpResponse:
    """Enter a customer's car."""
    owner = get_object_or_404(Customer, pk=number)
    form = CarForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        made = _kept(request, form, owner=owner)
        if made is not None:
            messages.success(request, f"{made} is entered.")
            return redirect("customers:customer", owner.pk)
    return _page(request, form, owner)


@doing("inventory.change_customercar")
def change(request: HttpRequest, number: int) -> HttpResponse:
    """Change what is known of a car; another tyre is on it now."""
    car = get_object_or_404(CustomerCar.objects.select_related("customer"), pk=number)
    wheels = list(car.wheels.select_related("tyre").order_by("axle"))
    variant = variants_of([car]).get(car.pk)
    if request.method != "POST":
        form = CarForm(initial=known_of(car, wheels, variant))
        return _page(request, form, car.customer, car, address_of(car, wheels, variant))
    form = CarForm(request.POST)
    if form.is_valid() and _kept(request, form, car=car) is not None:
        messages.success(request, "Kept.")
        return redirect("customers:customer", car.customer_id)
    return _page(request, form, car.customer, car, address_of(car, wheels, variant))


def _kept(
    request: HttpRequest,
    form: CarForm,
    *,
    owner: Customer | None = None,
    car: CustomerCar | None = None,
) -> CustomerCar | None:
    """Enter or change the car, and say which car of the list it is; None where it is refused."""
    stamp: dict[str, Any] = {"by": by(request), "at": timezone.now()}
    try:
        if car is None:
            told = {"customer": owner, **form.values()}
            kept = cataloguing.make_car(**stamp, **told)
        else:
            kept = cataloguing.change_car(**stamp, car=car, **form.values())
        if form.cleaned_data["variant"]:
            identify(**stamp, customer_car=kept, variant=form.cleaned_data["variant"])
    except Refusal as refusal:
        for name, words in refusal.at_fault or [("", refusal.sentence)]:
            plain = name.replace(".", "_")
            form.add_error(plain if plain in form.fields else None, words)
        return None
    return kept


def _page(
    request: HttpRequest,
    form: CarForm,
    owner: Customer,
    car: CustomerCar | None = None,
    answer: str = "",
) -> HttpResponse:
    context = {"form": form, "customer": owner, "car": car, "answer": answer}
    return render(request, "customers/car.html", context, status=400 if form.is_bound else 200)
