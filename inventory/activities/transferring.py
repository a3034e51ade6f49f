"""Transfers between sites: what leaves is in transit until it is booked in at the other end."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.moving import Step, move_together
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.locking import locked_row
from inventory.ground.refusal import Refusal
from inventory.ledger.moves import NothingToPost, some
from inventory.models.lot import Lot
from inventory.models.place import Place, PlaceKind, Site
from inventory.models.transfer import Transfer, TransferLine, TransferState


@dataclass(frozen=True, slots=True)
class Load:
    """So many of a lot, taken from a place of the site that sends."""

    lot: Lot
    source: Place
    quantity: int


class NowhereOnTheWay(Refusal):
    """There is no place in transit at the site that sends."""

    def __init__(self, site: Site) -> None:
        super().__init__(
            f"{site} has no place in transit: enter one first. Nothing was changed.",
            field="from_site",
        )


class NotThere(Refusal):
    """Something is loaded that is not at the site that sends, or unloaded at another site."""

    status = 400

    def __init__(self, place: Place, site: Site, field: str) -> None:
        super().__init__(
            f"{place.code} is at {place.site}, not at {site}. Nothing was changed.", field=field
        )


class ArrivedAlready(Refusal):
    """All of the transfer was booked in before."""

    def __init__(self, transfer: Transfer) -> None:
        super().__init__(
            f"{transfer.number} was booked in by {transfer.ended_by}. Nothing was changed.",
            field="transfer",
        )


class NotOnThisTransfer(Refusal):
    """More of a lot, or another lot, than is still on the way."""

    def __init__(self, transfer: Transfer, lot: Lot, left: int) -> None:
        super().__init__(
            f"{left} of lot {lot.code} are on the way on {transfer.number}: no more can arrive. "
            "Nothing was changed.",
            field="quantity",
        )


def send_off(
    *,
    from_site: Site,
    to_site: Site,
    loads: Sequence[Load],
    carrier: str = "",
    note: str = "",
    by: User,
    at: datetime,
) -> Transfer:
    """Send free tyres from one site to another; until they arrive they are in transit.

    Raises Faulty, NowhereOnTheWay, NotThere, NothingToPost, NoneAsked, NotThatMany.
    """
    ways = Place.objects.filter(site=from_site, kind=PlaceKind.IN_TRANSIT)
    through = ways.first()
    if through is None:
        raise NowhereOnTheWay(from_site)
    transfer = Transfer(
        from_site=from_site, to_site=to_site, through=through, carrier=carrier, note=note,
        sent_by=by, sent_at=at,
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


def book_arrival(
    *,
    transfer: Transfer,
    came: Mapping[int, int],
    place: Place,
    by: User,
    at: datetime,
) -> Transfer:
    """Book in what arrived of a transfer, by lot; what did not come stays on the way.

    ``came`` is from the keys of lots to tyres. Raises ArrivedAlready, NotThere, NothingToPost,
    NoneAsked, NotOnThisTransfer.
    """
    with transaction.atomic():
        rows = Transfer.objects.select_related("to_site", "through", "ended_by")
        held = locked_row(rows, transfer.pk)
        if held.state == TransferState.ARRIVED:
            raise ArrivedAlready(held)
        if place.site_id != held.to_site_id:
            raise NotThere(place, held.to_site, "place")
        lines = {line.lot_id: line for line in held.lines.select_related("lot").order_by("pk")}
        steps = [_step(held, lines, lot_id, n, place) for lot_id, n in sorted(came.items())]
        if not steps:
            raise NothingToPost
        move_together(steps=steps, transfer=held, by=by, at=at, document=held.number)
        TransferLine.objects.bulk_update(lines.values(), ["arrived"])
        if all(line.arrived == line.quantity for line in lines.values()):
            held.state, held.ended_at, held.ended_by = TransferState.ARRIVED, at, by
            held.save(update_fields=["state", "ended_at", "ended_by"])
    return held


def _step(
    transfer: Transfer, lines: Mapping[int, TransferLine], lot_id: int, quantity: int, place: Place
) -> Step:
    some(quantity)
    line = lines.get(lot_id)
    if line is None:
        raise NotOnThisTransfer(transfer, Lot.objects.get(pk=lot_id), 0)
    if quantity > line.quantity - line.arrived:
        raise NotOnThisTransfer(transfer, line.lot, line.quantity - line.arrived)
    line.arrived += quantity
    return Step(line.lot, transfer.through, place, quantity)


def _by_lot(loads: Sequence[Load]) -> dict[int, int]:
    found: dict[int, int] = {}
    for load in loads:
        found[load.lot.pk] = found.get(load.lot.pk, 0) + load.quantity
    return found
