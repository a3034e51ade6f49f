"""The demo's warehouse: orders half picked, sent, sent on the owner's word, come back in part."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.contrib.auth.models import User

from inventory.activities import complaining, despatching, picking, returning
from inventory.activities.returning import CameBack
from inventory.models.despatch import Despatch
from inventory.models.hold import HoldLine
from inventory.models.lot import Condition
from inventory.models.pick import Confirmed, PickList
from inventory.models.place import Place, PlaceKind
from inventory.models.returned import ReturnReason
from inventory.models.sale import Order
from inventory.models.supplier import Supplier

SHOW = "he was told, and fits them for a show"


def being_picked(order: Order, *, at: datetime) -> PickList:
    """On a list, the first line of it taken."""
    by = User.objects.get(username="warehouse")
    listed = _listed(order, by, at)
    first = picking.standing(listed).to_pick[0]
    picking.pick(pick_list=listed, line=first, confirmed=Confirmed.SCAN, by=by, at=at)
    return listed


def sent_and_complained_of(order: Order, *, returned: bool, at: datetime) -> None:
    """Picked, packed and sent; of the returned one a tyre came back, another is complained of."""
    by = User.objects.get(username="warehouse")
    sent = _sent(order, by, at)
    if not returned:
        return
    first = sent.lines.select_related("place__site").order_by("pk")[0]
    place = Place.objects.filter(kind=PlaceKind.QUARANTINE, site=first.place.site).order_by("code")
    came = CameBack(first, 1, Condition.FITTED, place[0], note="fitted once, by the garage")
    returning.take_back(
        despatch=sent,
        reason=ReturnReason.DOES_NOT_SUIT,
        lines=[came],
        note="Rubs on full lock.",
        by=by,
        at=at,
    )
    _complaint(sent, at)


def sent_on_the_owners_word(order: Order, *, why: str, at: datetime) -> Despatch:
    """What the rules would keep here leaves: the owner says so, and why."""
    return _sent(order, User.objects.get(username="warehouse"), at, why=why)


def _complaint(sent: Despatch, at: datetime) -> None:
    stamp: dict[str, Any] = {"at": at}
    made = complaining.open_complaint(
        despatch_line=sent.lines.order_by("-pk")[0],
        quantity=1,
        says="A bulge in the outer wall after three weeks, kept at the garage.",
        by=User.objects.get(username="counter"),
        **stamp,
    )
    complaining.take_to_maker(
        complaint=made,
        supplier=complaining.supplier_of(made.lot) or Supplier.objects.order_by("pk").first(),
        by=User.objects.get(username="buyer"),
        **stamp,
    )


def _listed(order: Order, by: User, at: datetime) -> PickList:
    lines = HoldLine.objects.filter(hold__order_line__order=order).select_related("place__site")
    site = lines.order_by("pk")[0].place.site
    place = Place.objects.filter(kind=PlaceKind.DESPATCH, site=site).order_by("code")[0]
    return picking.make_list(order=order, to_place=place, by=by, at=at)


def _sent(order: Order, by: User, at: datetime, why: str = SHOW) -> Despatch:
    listed = _listed(order, by, at)
    for line in picking.standing(listed).to_pick:
        picking.pick(pick_list=listed, line=line, confirmed=Confirmed.SCAN, by=by, at=at)
    listed = picking.pack(pick_list=listed, parcels=2, by=by, at=at)
    if despatching.about(despatching.leaving(listed, at=at)):
        owner = User.objects.get(username="owner")
        despatching.give_word(pick_list=listed, why=why, by=owner, at=at)
    return despatching.despatch(pick_list=listed, carrier="Fenwold Carriers", by=by, at=at)
