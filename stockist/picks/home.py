"""What is to be picked: orders that wait for a list, and the lists under way."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from inventory.activities import picking
from inventory.ground.refusal import Refusal
from inventory.models.hold import HoldLine, HoldState
from inventory.models.pick import PickList, PickListState
from inventory.models.place import Place, PlaceKind
from inventory.models.sale import Order
from stockist.listing import newest_first
from stockist.picks.forms import UNDER_WAY, ListsForm, MakeForm, said
from stockist.picks.rows import list_row, with_counts
from stockist.steps import by, doing, fresh_key, looking

WAITING = 20
UNDER = [PickListState.OPEN, PickListState.PICKED, PickListState.PACKED]


@dataclass(frozen=True, slots=True)
class Waiting:
    """An order whose tyres are held and on no list yet, and where they could be gathered."""

    order: Order
    tyres: int
    sites: tuple[str, ...]
    places: tuple[Place, ...]


@looking("inventory.view_picklist")
@require_GET
def home(request: HttpRequest) -> HttpResponse:
    """What is to be picked, and what is being picked."""
    return _page(request)


@doing("inventory.add_picklist")
@require_POST
def make(request: HttpRequest) -> HttpResponse:
    """Make the list of an order."""
    form = MakeForm(request.POST)
    if not form.is_valid():
        return _page(request, refused="Say which order, and where it is gathered.", status=400)
    try:
        listed = picking.make_list(by=by(request), at=timezone.now(), **said(form))
    except Refusal as refusal:
        return _page(request, refused=refusal.sentence, status=refusal.status)
    messages.success(request, f"{listed.number} is made.")
    return redirect("picks:list", listed.pk)


def _page(request: HttpRequest, *, refused: str = "", status: int = 200) -> HttpResponse:
    form = ListsForm(request.GET or None)
    listing = newest_first(request, _asked(form))
    waiting, more = waiting_orders()
    context = {
        "form": form,
        "rows": [list_row(one) for one in listing.rows],
        "more": listing.more,
        "waiting": waiting,
        "more_waiting": more,
        "may_make": request.user.has_perm("inventory.add_picklist"),
        "key": fresh_key(),
        "refused": refused,
        "today": timezone.localdate(),
    }
    return render(request, "picks/home.html", context, status=status)


def _asked(form: ListsForm) -> Any:
    told = form.cleaned_data if form.is_valid() else {}
    rows = with_counts(PickList.objects.all())
    state = told.get("state") or UNDER_WAY
    if state == UNDER_WAY:
        rows = rows.filter(state__in=UNDER)
    elif state != "any":
        rows = rows.filter(state=state)
    text = (told.get("q") or "").strip()
    if text:
        number = text.upper().removeprefix("OR-").removeprefix("PL-")
        found = Q(order__customer__name__icontains=text)
        if number.isascii() and number.isdecimal() and len(number) < 10:
            found |= Q(order=int(number)) | Q(pk=int(number))
        rows = rows.filter(found)
    return rows


def waiting_orders() -> tuple[list[Waiting], int]:
    """Orders to be put on a list, the day they are wanted first; and how many more there are."""
    lines = HoldLine.objects.filter(
        hold__state=HoldState.OPEN,
        hold__order_line__cancelled=False,
        hold__order_line__order__state="open",
    ).exclude(hold__order_line__order__pick_lists__state__in=UNDER)
    orders = Order.objects.filter(pk__in=lines.values("hold__order_line__order"))
    shown = list(orders.select_related("customer").order_by("wanted_on", "pk")[:WAITING])
    rows = lines.filter(hold__order_line__order__in=shown)
    tyres: dict[int, int] = defaultdict(int)
    sites: dict[int, dict[int, str]] = defaultdict(dict)
    for line in rows.select_related("place__site", "hold__order_line").order_by("pk"):
        order = line.hold.order_line.order_id  # type: ignore[union-attr]
        tyres[order] += line.quantity
        sites[order][line.place.site_id] = str(line.place.site)
    places = list(
        Place.objects.filter(kind=PlaceKind.DESPATCH).select_related("site").order_by("code")
    )
    waiting = [
        Waiting(
            one,
            tyres[one.pk],
            tuple(sites[one.pk].values()),
            tuple(place for place in places if place.site_id in sites[one.pk]),
        )
        for one in shown
    ]
    return waiting, max(orders.count() - len(shown), 0)
