"""What was found tonight beside what stood already: an alert that stays true stays one row."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import datetime
from typing import Any, TypeVar

from django.db import connection, transaction

from inventory.ageing import Ageing
from inventory.models.alert import AgeingAlert, Alert
from inventory.models.standing import Standing
from inventory.reordering import Noted

_BATCH = 1000
S = TypeVar("S", bound=Standing)


@dataclass(frozen=True, slots=True)
class Kept:
    """How many alerts are new, stand still, and are true no more."""

    raised: int
    still: int
    ended: int

    def __str__(self) -> str:
        return f"{self.raised} new, {self.still} stand still, {self.ended} are true no more."


def keep_alerts(*, found: Sequence[Noted], at: datetime) -> Kept:
    """Keep the reorder alerts of a moment. What was kept later than that is left as it is."""
    return _keep(Alert, "sku_id", {one.sku_id: _values(one) for one in found}, at)


def keep_ageing(*, found: Sequence[Ageing], at: datetime) -> Kept:
    """Keep the ageing alerts of a moment, likewise."""
    return _keep(AgeingAlert, "lot_id", {one.lot_id: _values(one) for one in found}, at)


def _keep(model: type[S], key: str, found: Mapping[int, dict[str, Any]], at: datetime) -> Kept:
    """Locks what stands, in the order of its keys, so that a buyer's word is never written over."""
    with transaction.atomic():
        _one_at_a_time(model)
        rows = model._default_manager.filter(ended_at__isnull=True).order_by("pk")
        # What is written anew need not be read, and it is nearly all of a row.
        locked = rows.defer("told", "sentence").select_for_update(no_key=True)
        standing = {getattr(row, key): row for row in locked}
        known = [row for row in standing.values() if row.seen_at <= at]
        still = [row for row in known if getattr(row, key) in found]
        ended = [row for row in known if getattr(row, key) not in found]
        names = sorted({name for values in found.values() for name in values} - {key})
        for row in still:
            for name in names:
                setattr(row, name, found[getattr(row, key)][name])
            row.seen_at = at
        fresh = [
            model(**values, raised_at=at, seen_at=at)
            for number, values in found.items()
            if number not in standing
        ]
        _update(model, still, [*names, "seen_at"])
        over = model._default_manager.filter(pk__in=[row.pk for row in ended])
        over.update(ended_at=at)
        model._default_manager.bulk_create(fresh, batch_size=_BATCH)
    return Kept(len(fresh), len(still), len(ended))


def _values(found: Noted | Ageing) -> dict[str, Any]:
    """Its fields by name; what they hold is not copied."""
    return {each.name: getattr(found, each.name) for each in fields(found)}


def _one_at_a_time(model: type[Standing]) -> None:
    """Two reckonings at once would both raise what neither sees of the other."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_advisory_xact_lock(hashtext(%s))", [model._meta.label_lower])


def _update(model: type[S], rows: list[S], names: list[str]) -> None:
    """One INSERT ... ON CONFLICT a batch: an UPDATE by CASE grows with rows times columns."""
    if rows:
        fields = [model._meta.get_field(name).name for name in names]
        model._default_manager.bulk_create(
            rows,
            batch_size=_BATCH,
            update_conflicts=True,
            update_fields=fields,
            unique_fields=[str(model._meta.pk.name)],
        )
