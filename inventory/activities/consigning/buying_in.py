"""Buying in: tyres of a consignment become the house's at a cost, and may be promised from then."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.consigning.lying import Part, kin_of, looked_over, written
from inventory.activities.made_from import lot_made_from
from inventory.activities.preordering import Turn, serve
from inventory.ground.entries.columns import column_faults
from inventory.ground.entries.faults import Faulty
from inventory.ground.locking import locked_row, locked_rows
from inventory.ground.violations import named_violation
from inventory.ledger.moves import Move
from inventory.ledger.post import post
from inventory.models.consignment import Consignment, ConsignmentStep, StepKind
from inventory.models.lot import Block, Lot, Owner
from inventory.models.posting import PostingKind
from inventory.models.preorder import PreOrderLine, PreOrderState


@dataclass(frozen=True, slots=True)
class Bought:
    """The steps that were written, and what became of whoever waited for such tyres."""

    steps: tuple[ConsignmentStep, ...]
    turn: Turn


def buy_in(
    *,
    consignment: Consignment,
    parts: Sequence[Part],
    unit_cost: Decimal | None = None,
    by: User,
    at: datetime,
) -> Bought:
    """Make so many tyres the house's where they lie, each at the price agreed or at ``unit_cost``.

    They go into lots of the house that say what they were made from and read as those do. What
    blocks a lot blocks what was bought of it. Whoever waits for such tyres is served in turn.
    Raises NothingNamed, NotPartOfIt, NoneAsked, NotWhole, TooMany, Faulty (a cost of nought),
    NotThatMany.
    """
    faults = list(column_faults(ConsignmentStep(unit_cost=unit_cost), ["unit_cost"]))
    if faults:
        raise Faulty(faults)
    with transaction.atomic(), named_violation():
        row = locked_row(Consignment.objects.select_related("supplier"), consignment.pk)
        kin = kin_of(row)
        keys = looked_over(row, kin, parts)
        lots = locked_rows(Lot.objects.select_related("sku"), keys)
        costs = {key: kin[key].price if unit_cost is None else unit_cost for key in keys}
        into = {
            key: _house_lot(lots[key], costs[key], row.currency, by=by, at=at)
            for key in sorted(keys)
        }
        posting = post(
            kind=PostingKind.BUY_IN, lines=_moves(parts, into), by=by, at=at, document=row.number
        )
        bought = [(part, into[part.lot.pk], costs[part.lot.pk]) for part in parts]
        steps = written(row, StepKind.BOUGHT, bought, posting=posting, by=by, at=at)
        skus = {lot.sku_id for lot in lots.values()}
        return Bought(tuple(steps), serve(expected=_waited_for(skus), by=by, at=at))


def _house_lot(lot: Lot, cost: Decimal, currency: str, *, by: User, at: datetime) -> Lot:
    """The house's lot that tyres of this one go into; a blocked one's is new, and as blocked."""
    blocks = list(lot.blocks.filter(lifted_at__isnull=True).order_by("pk"))
    made = lot_made_from(
        lot, among=Lot.objects.none() if blocks else lot.made_into.unblocked(),
        owner=Owner.HOUSE, owner_supplier=None, unit_cost=cost, currency=currency, by=by, at=at,
    )  # fmt: skip
    Block.objects.bulk_create(
        Block(lot=made, reason=one.reason, note=one.note, placed_at=at, placed_by=by)
        for one in blocks
    )
    return made


def _moves(parts: Sequence[Part], into: Mapping[int, Lot]) -> list[Move]:
    moves = [Move(part.lot.pk, part.place.pk, -part.quantity) for part in parts]
    return moves + [Move(into[part.lot.pk].pk, part.place.pk, part.quantity) for part in parts]


def _waited_for(skus: Collection[int]) -> set[int]:
    """The deliveries that pre-orders of these SKUs count on."""
    rows = PreOrderLine.objects.filter(
        expected__sku__in=skus, pre_order__state=PreOrderState.WAITING
    )
    return set(rows.order_by("pk").values_list("expected_id", flat=True))
