"""Tyres leave a site: from then on they are in transit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.moving import Step, move_together
from inventory.activities.transferring.refusals import NotThere, NowhereOnTheWay
from inventory.ground.entries.alone import refuse_faulty
from inventory.ledger.moves import NothingToPost, some
from inventory.models.lot import Lot
from inventory.models.outing import Outing
from inventory.models.place import Place, PlaceKind, Site, SiteKind
from inventory.models.transfer import Transfer, TransferLine


@dataclass(frozen=True, slots=True)
class Load:
    """So many of a lot, taken from a place of the site that sends."""

    lot: Lot
    source: Place
    quantity: int


def send_off(
    *,
    from_site: Site,
    to_site: Site,
    loads: Sequence[Load],
    carrier: str = "",
    note: str = "",
    outing: Outing | None = None,
    by: User,
    at: datetime,
) -> Transfer:
    """Send free tyres from one site to another; until they arrive they are in transit.

    ``outing``: the meeting for which a van is loaded or unloaded by this.
    Raises Faulty, NowhereOnTheWay, NotThere, NothingToPost, NoneAsked, NotThatMany.
    """
    through = _way(from_site, to_site)
    transfer = Transfer(
        from_site=from_site, to_site=to_site, through=through, carrier=carrier, note=note,
        outing=outing, sent_by=by, sent_at=at,
    )  # fmt: skip
    refuse_faulty(transfer, ("carrier", "note"))
    if not loads:
        raise NothingToPost
    for load in loads:
        some(load.quantity)
        if load.source.site_id != from_site.pk:
            raise NotThere(load.source, from_site, "source")
    with transaction.atomic():
        transfer.save(force_insert=True)
        steps = [Step(load.lot, load.source, through, load.quantity) for load in loads]
        move_together(steps=steps, transfer=transfer, by=by, at=at, document=transfer.number)
        TransferLine.objects.bulk_create(
            TransferLine(transfer=transfer, lot_id=lot_id, quantity=quantity)
            for lot_id, quantity in _by_lot(loads).items()
        )
    return transfer


def _way(from_site: Site, to_site: Site) -> Place:
    """The place in transit of the site that sends; a van without one uses the other end's."""
    ends = [from_site.pk, to_site.pk] if from_site.kind == SiteKind.MOBILE else [from_site.pk]
    ways = Place.objects.filter(site__in=ends, kind=PlaceKind.IN_TRANSIT).order_by("walk", "pk")
    through = min(ways, key=lambda way: way.site_id != from_site.pk, default=None)
    if through is None:
        raise NowhereOnTheWay(from_site)
    return through


def _by_lot(loads: Sequence[Load]) -> dict[int, int]:
    found: dict[int, int] = {}
    for load in loads:
        found[load.lot.pk] = found.get(load.lot.pk, 0) + load.quantity
    return found
