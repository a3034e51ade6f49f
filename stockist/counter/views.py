"""The counter's pages: which tyre, which cars, have you got it. Each makes one domain call."""

from __future__ import annotations

import uuid
from datetime import datetime
from urllib.parse import urlencode

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_required, permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_GET, require_POST

from fitments.lookup.cars import CarsPage, cars_for
from fitments.lookup.span import UnreadableDay
from fitments.lookup.spots import with_places
from fitments.models.car import Variant
from fitments.rules import cautions
from fitments.rules.values import Market, Use
from inventory.activities import enquiring
from inventory.ground.entries.faults import Faulty
from inventory.ground.idempotency import once_form
from inventory.ground.undisturbed import undisturbed
from inventory.models.sku import Sku, SkuKind
from inventory.sets import BadRecipe
from stockist.counter import pages
from stockist.counter.answer import which_tyre
from stockist.counter.forms import CarForm, EnquiryForm, WishForm
from stockist.counter.promising import promising
from stockist.counter.search import Found, Meaning, find
from stockist.counter.shelf import shelf_answers
from stockist.counter.shelf_rows import shelf_rows
from stockist.counter.sites import FROM_SITE
from stockist.counter.tyre_page import tyre_page
from stockist.counter.tyre_search import skus_of_size
from stockist.counter.wheels_form import WheelsForm

looking = permission_required(["inventory.view_sku", "fitments.view_variant"], raise_exception=True)


def _about(request: HttpRequest, **more: object) -> dict[str, object]:
    """What every page of the counter is told."""
    return {
        "asked": request.GET.get("q", ""),
        "cautions": cautions.ALL,
        "here": _here(request),
        "enquiry_key": uuid.uuid4(),
        "may_enquire": request.user.has_perm("inventory.add_enquiry"),
        **promising(request),
        "car_words": "",
        **more,
    }


def _here(request: HttpRequest) -> str:
    """The address of the question, wherever in its answer somebody is."""
    asked = pages.without_shown(request.GET)
    return f"{request.path}?{asked.urlencode()}" if asked else request.path


@login_required
@looking
@require_GET
def ask(request: HttpRequest) -> HttpResponse:
    """The search box, and what was found: one car or one tyre is answered at once."""
    asked = request.GET.get("q", "")
    try:
        found = find(asked)
    except UnreadableDay as unreadable:
        found = Found(asked, Meaning.NOTHING, words=str(unreadable))
    about = _about(request)
    straight = _straight(found)
    if straight:
        return redirect(_carrying(straight, str(about["carried"])))
    at = timezone.now()
    skus = found.skus if found.size is None else skus_of_size(found.size)
    form = WishForm(request.GET or None, today=timezone.localdate(at))
    form.is_valid()
    shelf = shelf_answers(skus, form.wishes(), limit_months=settings.HOUSE_AGE_LIMIT_MONTHS, at=at)
    context = {**about, "found": found, "shelf": shelf_rows(shelf), "focus": True}
    return render(request, "counter/ask.html", context)


def _carrying(address: str, carried: str) -> str:
    return f"{address}{'&' if '?' in address else '?'}{carried}" if carried else address


def _straight(found: Found) -> str:
    """Where a search that can only mean one thing leads."""
    if found.meaning is Meaning.CARS and len(found.variants) == 1:
        built = f"?{urlencode({'built': found.built.code})}" if found.built else ""
        return reverse("counter:car", args=[found.variants[0].code]) + built
    if found.meaning is Meaning.TYRES and len(found.skus) == 1:
        return reverse("counter:tyre", args=[found.skus[0].code])
    return ""


@login_required
@looking
@require_GET
@undisturbed()
def car(request: HttpRequest, code: str) -> HttpResponse:
    """What a car takes, as it stands, with complete sets in stock."""
    at = timezone.now()
    variant = get_object_or_404(with_places(Variant.objects.all()), code=code)
    asked, shown = pages.without_shown(request.GET), pages.Shown.of(request.GET)
    form = CarForm(asked or None, variant=variant, today=timezone.localdate(at))
    usable = not form.is_bound or form.is_valid()
    answer = None
    if usable:
        try:
            answer = which_tyre(pages.question(form), at=at, first=shown.first, most=pages.OFFERS)
        except BadRecipe as bad:
            form.add_error(None, str(bad))
    context = _about(request, **pages.answer_page(str(variant), form, answer, at, shown))
    return render(request, "counter/car.html", context, status=200 if answer else 400)


@login_required
@looking
@require_GET
@undisturbed()
def wheels(request: HttpRequest) -> HttpResponse:
    """What a car takes that is not listed, by the wheels and tyres that stand in front of you."""
    at = timezone.now()
    asked, shown = pages.without_shown(request.GET), pages.Shown.of(request.GET)
    form = WheelsForm(asked if {*asked} - {FROM_SITE} else None, today=timezone.localdate(at))
    answer = None
    if form.is_bound and form.is_valid():
        try:
            answer = which_tyre(
                pages.wheels_question(form), at=at, first=shown.first, most=pages.OFFERS
            )
        except BadRecipe as bad:
            form.add_error(None, str(bad))
    name = (form.cleaned_data.get("car") if answer else "") or "car on these wheels"
    context = _about(request, **pages.answer_page(name, form, answer, at, shown))
    status = 400 if form.is_bound and not answer else 200
    return render(request, "counter/car.html", context, status=status)


@login_required
@looking
@require_GET
@undisturbed()
def tyre(request: HttpRequest, code: str) -> HttpResponse:
    """One tyre: what should be read on it, the sets on the shelf, the cars that take it."""
    at = timezone.now()
    sku = get_object_or_404(
        Sku.objects.with_names().prefetch_related("type_approvals", "gtins"), code__iexact=code
    )
    form = WishForm(pages.without_shown(request.GET) or None, today=timezone.localdate(at))
    usable = not form.is_bound or form.is_valid()
    shelf = None
    if usable:
        try:
            shelf = shelf_answers([sku], form.wishes(), limit_months=pages.limit_of(form), at=at)[0]
        except BadRecipe as bad:
            form.add_error(None, str(bad))
    fits = _cars(sku, request.GET.get("after", ""), at) if sku.kind == SkuKind.TYRE else None
    context = _about(request, **tyre_page(sku, form, shelf, fits, at))
    return render(request, "counter/tyre.html", context, status=200 if usable else 400)


def _cars(sku: Sku, after: str, at: datetime) -> CarsPage:
    return cars_for(
        sku,
        in_force_on=timezone.localdate(at),
        known_on=at,
        use=Use.ROAD,
        market=Market.GB,
        after=after,
        limit=40,
    )


@login_required
@permission_required("inventory.add_enquiry", raise_exception=True)
@require_POST
@once_form
def enquire(request: HttpRequest) -> HttpResponse:
    """Keep a question that could not be met, and go back to where it was asked."""
    form = EnquiryForm(request.POST)
    back = request.POST.get("next", "")
    if not url_has_allowed_host_and_scheme(back, allowed_hosts=None):
        back = reverse("counter:ask")
    if not form.is_valid():
        return render(request, "counter/enquiry.html", _about(request, form=form), status=400)
    said = form.cleaned_data
    sku = Sku.objects.filter(code__iexact=said["sku"]).first() if said["sku"] else None
    try:
        enquiring.record(
            by=request.user,  # type: ignore[arg-type]  # signed in, as the decorator asks
            at=timezone.now(),
            sku=sku,
            size="" if sku else said["size"],
            pieces=said["pieces"],
            car=said["car"],
        )
    except Faulty as faulty:
        form.add_error(None, str(faulty))
        return render(request, "counter/enquiry.html", _about(request, form=form), status=400)
    messages.success(request, "Noted. It counts as demand when the next order is planned.")
    return redirect(back)
