"""Tyres in quarantine that a supplier has not answered for yet: they are not moved out of it."""

from __future__ import annotations

from collections.abc import Iterable

from django.db.models import Q

from inventory.ground.refusal import Refusal
from inventory.ledger.locks import Pair, lock_balances
from inventory.ledger.post import Move
from inventory.models.place import Place
from inventory.models.supplier_complaint import SupplierComplaint, SupplierComplaintQuerySet


class ComplainedOf(Refusal):
    """Some of what lies in quarantine is complained of, and more than the rest was to be moved."""

    def __init__(self, first: SupplierComplaint, bound: int, free: int) -> None:
        super().__init__(
            f"{bound} of lot {first.lot} in quarantine are complained of ({first.number}), and "
            f"{free} are not: settle the complaint first. Accepted after all, they go to goods in. "
            "Nothing was changed.",
            field="source",
        )


def in_quarantine(lot_id: int, place: Place | int) -> SupplierComplaintQuerySet:
    """The complaints whose tyres were put into a quarantine, on receipt or by hand."""
    rows = SupplierComplaint.objects.filter(lot=lot_id, sent_back__isnull=True)
    return rows.filter(Q(quarantine=place) | Q(quarantine=None, delivery__quarantine=place))


def leave_complaints_alone(lines: Iterable[Move], out_of: Iterable[Pair]) -> None:
    """Refuse to take what is complained of out of quarantine; the balances stay locked.

    ``out_of``: the balances in quarantine that ``lines`` take from. Raises ComplainedOf.
    """
    changes = {(line.lot_id, line.place_id): line.on_hand for line in lines}
    found = lock_balances(changes)
    for lot_id, place_id in sorted(set(out_of)):
        waiting = list(in_quarantine(lot_id, place_id).unsettled().select_related("lot"))
        bound = sum(one.quantity for one in waiting)
        free = found[lot_id, place_id].on_hand - bound
        if waiting and -changes.get((lot_id, place_id), 0) > free:
            raise ComplainedOf(waiting[-1], bound, max(free, 0))
