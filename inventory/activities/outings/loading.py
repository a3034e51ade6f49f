"""A van is loaded: in one step its tyres leave the racks of home and lie in the van."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.outings.opening import in_hand
from inventory.activities.outings.refusals import NotOfThisVan
from inventory.activities.transferring import Load, book_arrival, send_off
from inventory.models.outing import Outing
from inventory.models.place import Place, PlaceKind
from inventory.models.transfer import Transfer


def load(
    *,
    outing: Outing,
    loads: Sequence[Load],
    into: Place,
    they_fit: bool = False,
    by: User,
    at: datetime,
) -> Transfer:
    """Load free tyres into a place of the van: a transfer that has arrived.

    Whoever loads stands at the van, so nothing is on the way in between. Raises BackAlready,
    NotOfThisVan, PlaceIsFull, and what ``transferring.send_off`` does.
    """
    with transaction.atomic():
        held = in_hand(outing)
        if into.site_id != held.van_id or into.kind != PlaceKind.STORAGE:
            raise NotOfThisVan(into, held.van, "a rack")
        sent = send_off(
            from_site=held.home, to_site=held.van, loads=loads, outing=held, by=by, at=at
        )
        came = Counter[int]()
        for one in loads:
            came[one.lot.pk] += one.quantity
        return book_arrival(transfer=sent, came=came, place=into, they_fit=they_fit, by=by, at=at)
