"""The lot that tyres go into which differ from their own lot in something that was decided here."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.contrib.auth.models import User
from django.db.models import QuerySet

from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.violations import named_violation
from inventory.models.lot import Lot

ITS_OWN = frozenset({"id", "code", "made_from", "recorded_at", "recorded_by"})
"""What a lot never has from the one that it was made from."""
TOLD = (
    *("condition", "buffed_to_mm", "owner", "owner_customer", "owner_supplier"),
    *("unit_cost", "currency"),
)
"""What two lots made from one can differ in."""
_LONGEST_CODE = 20


def lot_made_from(
    lot: Lot, *, among: QuerySet[Lot] | None = None, by: User, at: datetime, **told: Any
) -> Lot:
    """The lot made from this one that differs by what is told, and in nothing else.

    Where there is none yet, or none ``among`` these, it is made. Whoever calls has locked ``lot``.
    Raises Faulty.
    """
    as_told = {name: told.get(name, getattr(lot, name)) for name in TOLD}
    rows = lot.made_into.all() if among is None else among
    found = rows.filter(**as_told).order_by("pk").first()
    if found is not None:
        return found
    names = {field.name for field in Lot._meta.concrete_fields} - ITS_OWN
    same = {name: getattr(lot, name) for name in names}
    made = Lot(
        **{**same, **as_told}, code=_code(lot), made_from=lot, recorded_at=at, recorded_by=by
    )
    refuse_faulty(made, ["code", *told])
    with named_violation():
        made.save(force_insert=True)
    return made


def _code(lot: Lot) -> str:
    """The code of the lot with the next free number behind it."""
    for number in range(1, 1000):
        tail = f".{number}"
        code = f"{lot.code[: _LONGEST_CODE - len(tail)]}{tail}"
        if not Lot.objects.filter(code=code).exists():
            return code
    raise AssertionError(f"a thousand lots were made from lot {lot.code}")
