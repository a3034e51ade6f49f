"""On what does a new promise rest, and may it be made? Asked by whoever holds or takes an order.

Stock knows nothing of approvals. Whoever keeps their register is named in the settings
(``REGISTER``, a dotted name of what answers as `Register` describes); where nobody is named,
promises rest on the shelf alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Protocol

from django.conf import settings
from django.utils.module_loading import import_string

from inventory.ground.refusal import Refusal
from inventory.models.hold import Hold, HoldLine
from inventory.release import LeavingSet, LeavingTyres


class Register(Protocol):
    """What is on record of approvals, as promises ask it."""

    def held_since(self) -> datetime:
        """Let nobody change it until the transaction ends; the moment from which it is known."""
        ...

    def withdrawn(self, sets: Sequence[LeavingSet], *, at: datetime) -> Sequence[str]:
        """Which approvals of these tyres for these cars were withdrawn, a phrase for each."""
        ...


class ApprovalWithdrawn(Refusal):
    """What would be promised lost its approval for the car, and nothing took its place."""

    def __init__(self, told: Sequence[str], *, field: str = "") -> None:
        more = "If they want it all the same, say so on the order." if field else ""
        super().__init__(
            "Nothing is promised of this tyre for this car: its approval was withdrawn "
            f"({'; '.join(told)}). Nothing was changed. Offer another, or ask the owner. "
            f"{more}".strip(),
            field=field,
        )


def held_from(at: datetime) -> datetime:
    """Hold the register until the transaction ends; the moment to go by, ``at`` or later.

    Comes first in the transaction of a promise, before anything of the shelf is locked: whoever
    withdraws waits for the promises under way, and they must not wait for one another meanwhile.
    """
    register = _register()
    return at if register is None else max(at, register.held_since())


def refuse_withdrawn(holds: Iterable[Hold], *, at: datetime, field: str = "") -> None:
    """Raise ApprovalWithdrawn where what is held for a car has lost its approval for it.

    ``field``: of the request, by which the customer's own word may be given.
    """
    of_cars = [(hold, at) for hold in holds if hold.car_id is not None]
    register = _register()
    if register is None or not of_cars:
        return
    told = register.withdrawn(promised(of_cars), at=at)
    if told:
        raise ApprovalWithdrawn(told, field=field)


def promised(told: Sequence[tuple[Hold, datetime]]) -> list[LeavingSet]:
    """What is held, each with the moment of which its customer was told, as a release asks it."""
    tyres: dict[int, list[LeavingTyres]] = {hold.pk: [] for hold, _ in told}
    rows = HoldLine.objects.filter(hold__in=tyres).select_related("lot").order_by("hold_id", "pk")
    for row in rows:
        one = LeavingTyres(row.lot.sku_id, row.lot_id, row.for_place, row.quantity)
        tyres[row.hold_id].append(one)
    return [
        LeavingSet(hold.pk, hold.what, hold.car_id, tuple(tyres[hold.pk]), hold.answer, since)
        for hold, since in told
    ]


def _register() -> Register | None:
    named = getattr(settings, "REGISTER", "")
    return import_string(named) if named else None
