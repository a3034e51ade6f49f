"""Which lot tyres go into that came back: their own, or one made from it in another condition."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal

from django.contrib.auth.models import User

from inventory.activities.returning.refusals import NeverNewAgain, NoSuchCondition
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.violations import named_violation
from inventory.models.lot import Condition, Lot
from inventory.models.returned import Return

_ITS_OWN = ("id", "code", "condition", "buffed_to_mm", "made_from", "recorded_at", "recorded_by")


class IntoLots:
    """The lots of one return; those in a new condition are made once each, as they are needed."""

    def __init__(self, came_back: Return, *, by: User, at: datetime) -> None:
        self._number, self._by, self._at = came_back.number, by, at
        self._made: dict[tuple[int, str, Decimal | None], Lot] = {}

    def lot_for(self, lot: Lot, condition: str, buffed_to_mm: Decimal | None) -> Lot:
        """The tyre's own lot where its condition is as it left, else one made from it.

        The new one keeps date code, mark, origin and owner. Raises NoSuchCondition,
        NeverNewAgain, Faulty.
        """
        if condition not in Condition.values:
            raise NoSuchCondition(condition)
        if (condition, buffed_to_mm) == (lot.condition, lot.buffed_to_mm):
            return lot
        if condition == Condition.NEW:
            raise NeverNewAgain(lot)
        key = (lot.pk, condition, buffed_to_mm)
        if key not in self._made:
            self._made[key] = self._made_from(lot, condition, buffed_to_mm)
        return self._made[key]

    def _made_from(self, lot: Lot, condition: str, buffed_to_mm: Decimal | None) -> Lot:
        names = [field.name for field in Lot._meta.fields if field.name not in _ITS_OWN]
        made = Lot(
            **{name: getattr(lot, name) for name in names},
            code=f"{self._number}-{len(self._made) + 1:02}",
            condition=condition,
            buffed_to_mm=buffed_to_mm,
            made_from=lot,
            recorded_at=self._at,
            recorded_by=self._by,
        )
        refuse_faulty(made, ["buffed_to_mm"])
        with named_violation():
            made.save(force_insert=True)
        return made
