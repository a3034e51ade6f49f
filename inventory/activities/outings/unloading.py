"""A van is unloaded: what the books say is left goes home, and what is not there is told."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.outings.opening import in_hand
from inventory.activities.outings.refusals import NothingInIt, NotOfThisVan, SayWhere
from inventory.activities.outings.standing import left_in
from inventory.activities.transferring import Load, book_arrival, send_off
from inventory.activities.transferring.arriving import UNLOADED_INTO
from inventory.models.lot import Lot
from inventory.models.outing import Outing
from inventory.models.place import Place
from inventory.models.transfer import Transfer


def unload(
    *,
    outing: Outing,
    came: Mapping[int, int] | None = None,
    into: Place | None = None,
    they_fit: bool = False,
    by: User,
    at: datetime,
) -> Transfer | None:
    """End an outing: all that is left in the van by the books goes home by one transfer.

    ``came`` is what was found in it, from the keys of lots to tyres; None is all of it, and an
    empty one leaves all of it to be scanned in at home. What was not found is still to come on the
    transfer, which is then ended short with its reason. None where the van is empty. Raises
    BackAlready, SayWhere, NotOfThisVan, NothingInIt, and what sending and booking in raise.
    """
    with transaction.atomic():
        held = in_hand(outing)
        left = left_in(held.van)
        loads = [Load(row.lot, row.place, row.on_hand) for row in left]
        found = _found(came, loads)
        place = _place(held, into) if found else None
        sent = None
        if loads:
            sent = send_off(
                from_site=held.van, to_site=held.home, loads=loads, outing=held, by=by, at=at
            )
        if sent is not None and place is not None:
            sent = book_arrival(
                transfer=sent, came=found, place=place, they_fit=they_fit, by=by, at=at
            )
        held.ended_at, held.ended_by = at, by
        held.save(update_fields=["ended_at", "ended_by"])
    return sent


def _found(came: Mapping[int, int] | None, loads: list[Load]) -> dict[int, int]:
    """What was found of what was left, by the keys of lots. Raises NothingInIt."""
    left: dict[int, int] = {}
    for one in loads:
        left[one.lot.pk] = left.get(one.lot.pk, 0) + one.quantity
    if came is None:
        return left
    found = {lot: count for lot, count in came.items() if count != 0}
    others = sorted(set(found) - set(left))
    if others:
        codes = Lot.objects.filter(pk__in=others).order_by("code").values_list("code", flat=True)
        raise NothingInIt(", ".join(codes))
    return found


def _place(held: Outing, into: Place | None) -> Place:
    if into is None:
        raise SayWhere(held.home)
    if into.site_id != held.home_id or into.kind not in UNLOADED_INTO:
        raise NotOfThisVan(into, held.home, "a rack, a place of goods in, or quarantine")
    return into
