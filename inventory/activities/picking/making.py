"""A pick list is made: one round through the racks of one site for what is held for an order."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.picking.inhand import locked_holds, locked_order
from inventory.activities.picking.refusals import (
    HeldElsewhere,
    NotForDespatch,
    NothingIsHeld,
    PickedAlready,
)
from inventory.ground.violations import named_violation
from inventory.models.hold import Hold, HoldLine, HoldState
from inventory.models.pick import PickLine, PickList
from inventory.models.place import Place, PlaceKind
from inventory.models.sale import Order


def make_list(*, order: Order, to_place: Place, by: User, at: datetime) -> PickList:
    """Ask the warehouse for what is held for an order at the site of `to_place`.

    A set is picked whole: one of which a part lies at another site is left for a list of its own.
    Raises OrderIsClosed, NotForDespatch, PickedAlready, NothingIsHeld, HeldElsewhere.
    """
    if to_place.kind != PlaceKind.DESPATCH:
        raise NotForDespatch(to_place)
    with transaction.atomic():
        locked_order(order)
        earlier = PickList.objects.under_way().filter(order=order).first()
        if earlier is not None:
            raise PickedAlready(earlier)
        lines = _to_fetch(order, to_place)
        listed = PickList(order=order, to_place=to_place, made_at=at, made_by=by)
        with named_violation():
            listed.save(force_insert=True)
            PickLine.objects.bulk_create([_line(listed, line) for line in lines])
    return listed


def _to_fetch(order: Order, to_place: Place) -> list[HoldLine]:
    """What is held for the order, of the holds that lie wholly at the site."""
    asked = Hold.objects.open().filter(order_line__order=order, order_line__cancelled=False)
    holds = locked_holds(list(asked.values_list("pk", flat=True)))
    rows = HoldLine.objects.filter(hold__in=holds, hold__state=HoldState.OPEN)
    lines = list(rows.select_related("place__site").order_by("hold_id", "pk"))
    if not lines:
        raise NothingIsHeld(order)
    elsewhere = {line.hold_id for line in lines if line.place.site_id != to_place.site_id}
    here = [line for line in lines if line.hold_id not in elsewhere]
    if not here:
        sites = sorted({str(line.place.site) for line in lines} - {str(to_place.site)})
        raise HeldElsewhere(to_place, [holds[pk] for pk in sorted(elsewhere)], sites)
    return here


def _line(listed: PickList, line: HoldLine) -> PickLine:
    return PickLine(
        pick_list=listed,
        hold_id=line.hold_id,
        lot_id=line.lot_id,
        place_id=line.place_id,
        for_place=line.for_place,
        quantity=line.quantity,
    )
