"""The lots of a consignment and where they lie; what they were worked into counts as them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.contrib.auth.models import User
from django.db.models import QuerySet

from inventory.activities.consigning.refusals import NothingNamed, NotPartOfIt
from inventory.ground.entries.alone import refuse_faulty
from inventory.ledger.moves import some
from inventory.models.balance import Balance
from inventory.models.consignment import (
    ConsignedLot,
    Consignment,
    ConsignmentStep,
    NothingAgreed,
    StepKind,
)
from inventory.models.lot import Lot, Owner
from inventory.models.place import Place
from inventory.models.posting import Posting


@dataclass(frozen=True, slots=True)
class Part:
    """So many of a lot in a place."""

    lot: Lot
    place: Place
    quantity: int


def kin_of(consignment: Consignment) -> dict[int, ConsignedLot]:
    """The keys of all its lots, each with what was agreed of it; lots bought in are none of them.

    A lot made from another by work is under the same agreement.
    """
    found = {part.lot_id: part for part in consignment.lots.order_by("pk")}
    new = set(found)
    while new:
        rows = Lot.objects.filter(made_from__in=new, owner=Owner.SUPPLIER).order_by("pk")
        made = dict(rows.values_list("pk", "made_from_id"))
        found |= {key: found[source] for key, source in made.items() if source is not None}
        new = set(made)
    return found


def lying(consignment: Consignment) -> list[Balance]:
    """Where its tyres lie now, by lot and place."""
    rows = Balance.objects.filter(lot__in=kin_of(consignment), on_hand__gt=0)
    return list(rows.select_related("lot__sku", "place__site").order_by("lot_id", "place_id"))


def with_nothing_agreed() -> QuerySet[Lot]:
    """Lots on consignment that lie here and of which nothing was agreed, nor of their sources."""
    lies = Balance.objects.filter(on_hand__gt=0).values("lot_id")
    rows = Lot.objects.filter(owner=Owner.SUPPLIER, pk__in=lies)
    return rows.alias(free=NothingAgreed("pk")).filter(free=True)


def agreed_of(lot: Lot) -> ConsignedLot | None:
    """What was agreed of a consignor's lot, or of the one it goes back to; None where nothing."""
    key: int | None = lot.pk
    while key is not None:
        part = ConsignedLot.objects.filter(lot=key).select_related("consignment").first()
        if part is not None:
            return part
        sources = Lot.objects.filter(pk=key, made_from__owner=Owner.SUPPLIER)
        key = sources.values_list("made_from_id", flat=True).first()
    return None


def looked_over(row: Consignment, kin: dict[int, ConsignedLot], parts: Sequence[Part]) -> set[int]:
    """The keys of the lots that are named. Raises NothingNamed, NotPartOfIt, NoneAsked, NotWhole,
    TooMany."""
    if not parts:
        raise NothingNamed("quantity")
    for part in parts:
        some(part.quantity)
        if part.lot.pk not in kin:
            raise NotPartOfIt(row, part.lot)
    return {part.lot.pk for part in parts}


def written(
    row: Consignment,
    kind: StepKind,
    done: Sequence[tuple[Part, Lot | None, Decimal | None]],
    *,
    posting: Posting,
    by: User,
    at: datetime,
) -> list[ConsignmentStep]:
    """The steps of one posting: which part, into which lot, at what cost. Raises Faulty."""
    steps = [
        ConsignmentStep(
            consignment=row, kind=kind, lot=part.lot, place=part.place, quantity=part.quantity,
            into=into, unit_cost=cost, posting=posting, done_at=at, done_by=by,
        )
        for part, into, cost in done
    ]  # fmt: skip
    for step in steps:
        refuse_faulty(step, ["unit_cost"])
    return ConsignmentStep.objects.bulk_create(steps)
