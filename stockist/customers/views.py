"""Customers: found by whatever they say on the telephone, shown with cars and promises."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Q, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.activities import cataloguing
from inventory.ground.refusal import Refusal
from inventory.models.customer import Customer
from stockist.customers.asking import WHEELS, cars_said
from stockist.customers.forms import CustomerForm, CustomersForm
from stockist.customers.promises import promises_to
from stockist.steps import by, doing, looking, told

ON_A_PAGE = 40
_SEARCHED = ("name", "telephone", "email", "cars__description", "cars__plate", "cars__chassis")


@looking("inventory.view_customer")
@require_GET
def customers(request: HttpRequest) -> HttpResponse:
    """Who are they? By name, car, registration or telephone."""
    form = CustomersForm(request.GET or None)
    rows = _asked(form) if not form.is_bound or form.is_valid() else Customer.objects.none()
    shown = Paginator(rows, ON_A_PAGE).get_page(request.GET.get("page"))
    asked = request.GET.copy()
    asked.pop("page", None)
    context = {
        "form": form,
        "shown": shown,
        "asked": asked.urlencode(),
        "may_add": request.user.has_perm("inventory.add_customer"),
    }
    return render(request, "customers/list.html", context)


def _asked(form: CustomersForm) -> QuerySet[Customer]:
    said: dict[str, Any] = form.cleaned_data if form.is_bound else {}
    rows = Customer.objects.select_related("price_class")
    for word in (said.get("q") or "").split():
        found = Q()
        for column in _SEARCHED:
            found |= Q(**{f"{column}__icontains": word})
        rows = rows.filter(pk__in=Customer.objects.filter(found).values("pk"))
    wanted = {name: said[name] for name in ("kind", "price_class") if said.get(name)}
    return rows.filter(**wanted).order_by(said.get("order") or "name", "pk")


@looking("inventory.view_customer")
@require_GET
def customer(request: HttpRequest, number: int) -> HttpResponse:
    """One customer: cars with what is on them, and what is promised."""
    found = get_object_or_404(Customer.objects.select_related("price_class"), pk=number)
    cars = found.cars.prefetch_related(WHEELS).order_by("description", "pk")
    context = {
        "customer": found,
        "cars": cars_said(list(cars)),
        "promises": promises_to(found, at=timezone.now()),
        "may_change": request.user.has_perm("inventory.change_customer"),
        "may_order": request.user.has_perm("inventory.add_order"),
        "may_add_car": request.user.has_perm("inventory.add_customercar"),
    }
    return render(request, "customers/customer.html", context)


@doing("inventory.add_customer")
def make(request: HttpRequest) -> HttpResponse:
    """Enter somebody new."""
    form = CustomerForm(request.POST or None, initial={"name": request.GET.get("name", "")[:120]})
    if request.method == "POST" and form.is_valid():
        try:
            made = cataloguing.make_customer(by=by(request), at=timezone.now(), **_said(form))
        except Refusal as refusal:
            told(form, refusal)
        else:
            messages.success(request, f"{made} is entered. Which car is it?")
            return redirect("customers:customer", made.pk)
    return _form(request, form, None)


@doing("inventory.change_customer")
def change(request: HttpRequest, number: int) -> HttpResponse:
    """Change what is known of a customer."""
    found = get_object_or_404(Customer, pk=number)
    if request.method != "POST":
        return _form(request, CustomerForm.of(found), found)
    form = CustomerForm(request.POST)
    if form.is_valid():
        try:
            cataloguing.change_customer(
                customer=found, by=by(request), at=timezone.now(), **_said(form)
            )
        except Refusal as refusal:
            told(form, refusal)
        else:
            messages.success(request, "Kept.")
            return redirect("customers:customer", found.pk)
    return _form(request, form, found)


def _said(form: CustomerForm) -> dict[str, Any]:
    return {name: one for name, one in form.cleaned_data.items() if name != "idempotency_key"}


def _form(request: HttpRequest, form: CustomerForm, found: Customer | None) -> HttpResponse:
    status = 400 if form.is_bound else 200
    context = {"form": form, "customer": found}
    return render(request, "customers/form.html", context, status=status)
