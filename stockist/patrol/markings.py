"""Columns that were read from a marking once: read again, they have to say the same."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import partial
from typing import Any

from django.db.models import Model, QuerySet

from fitments.activities.sizes import with_size
from fitments.models.approval import Approval
from fitments.models.fitment import Fitment
from inventory.activities.cataloguing.size_columns import NO_SIZE, size_columns
from inventory.activities.lots import dated_columns
from inventory.markings import UnreadableMarking
from inventory.markings.geometry import GeometryError
from inventory.models.lot import Lot
from inventory.models.sku import Sku, SkuKind
from stockist.patrol.check import Check, Faults, count_of

Columns = Mapping[str, Any]


def _differing(kept: Columns, read: Columns) -> str:
    """The columns that differ, in words; "" where none does."""
    return "; ".join(
        f"{name} says “{_plain(kept[name])}”, read again “{_plain(value)}”"
        for name, value in read.items()
        if _plain(kept[name]) != _plain(value)
    )


def _plain(value: Any) -> Any:
    return sorted(value) if isinstance(value, list | tuple) else value


def _skus(since: int | None) -> Faults:
    wanted = ("code", "kind", "size_text", "stated_overall_mm", *NO_SIZE)
    for row in Sku.objects.order_by("code").values(*wanted).iterator():
        try:
            read = size_columns(row["size_text"], row["stated_overall_mm"])
        except (UnreadableMarking, GeometryError) as error:
            if row["kind"] == SkuKind.TYRE:
                yield f"SKU {row['code']}: {error}"
                continue
            read = NO_SIZE
        words = _differing(row, read)
        if words:
            yield f"SKU {row['code']}: {words}."


def _lots(since: int | None) -> Faults:
    names = ("week_index", "first_day", "last_day", "earliest", "latest")
    told = Lot.objects.order_by("date_code", "received_on").values(
        "date_code", "received_on", *names
    )
    for row in told.distinct().iterator():
        try:
            read = dated_columns(row["date_code"], row["received_on"])
        except UnreadableMarking as error:
            yield f"Lots of {row['received_on']}: {error}"
            continue
        words = _differing(row, {name: read[name] for name in names})
        if words:
            yield f"Lots of “{row['date_code']}”, received on {row['received_on']}: {words}."


def _sized(rows: QuerySet[Any], rim: bool, since: int | None) -> Iterator[str]:
    model: type[Model] = rows.model
    names = ("size", "size_keys", "rim_mm") if rim else ("size", "size_keys")
    for row in rows.order_by("pk").values("pk", "size_text", *names).iterator():
        read, faults = with_size({"size_text": row["size_text"]}, rim=rim)
        words = " ".join(fault.words for fault in faults) or _differing(
            row, {name: read[name] for name in names if name in read}
        )
        if words:
            yield f"{str(model._meta.verbose_name).capitalize()} {row['pk']}: {words}."


CHECKS = (
    Check(
        "skus",
        "Every SKU is searched by what its size says.",
        _skus,
        count_of("inventory_sku", "SKUs"),
    ),
    Check(
        "date-codes",
        "Every lot is dated by what its date code says.",
        _lots,
        count_of("inventory_lot", "lots"),
    ),
    Check(
        "fitments",
        "Every fitment is searched by what its size says.",
        partial(_sized, Fitment.objects.all(), True),
        count_of("fitments_fitment", "fitments"),
    ),
    Check(
        "approved-sizes",
        "Every approval is searched by what its size says.",
        partial(_sized, Approval.objects.all(), False),
        count_of("fitments_approval", "approvals"),
    ),
)
