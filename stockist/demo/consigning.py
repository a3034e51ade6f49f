"""The demo's goods on consignment: some overdue; some of which two were bought, one given back."""

from __future__ import annotations

from datetime import datetime, timedelta
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from inventory.activities import consigning
from inventory.activities.consigning import Agreed, Consigned, Part
from inventory.models.consignment import Consignment
from inventory.models.lot import Lot
from inventory.models.place import Place, PlaceKind

_STAYED = "LOT-0133"  # came long ago, and its day has gone by
_LIKE = "LOT-0839"  # more of the same come now


def consignments(*, at: datetime) -> str:
    """Take them, once; what was done, in words."""
    if Consignment.objects.exists():
        return "there already"
    lots = {
        lot.code: lot
        for lot in Lot.objects.filter(code__in=[_STAYED, _LIKE], owner_supplier__isnull=False)
        .select_related("sku", "owner_supplier")
        .order_by("pk")
    }
    place = Place.objects.filter(kind=PlaceKind.GOODS_IN).order_by("walk", "pk").first()
    if len(lots) < 2 or place is None:
        return "nothing to take"
    with transaction.atomic():
        _stayed(lots[_STAYED], at)
        _came(lots[_LIKE], place, at)
    return "one is overdue; of six that came two were bought in and one given back"


def _stayed(lot: Lot, at: datetime) -> None:
    assert lot.owner_supplier is not None  # noqa: S101 - asked for above
    consigning.agree(
        supplier=lot.owner_supplier, lots=[Agreed(lot, Decimal("96.00"))],
        due_on=timezone.localdate(at) - timedelta(days=9), reference="KO 318",
        note="Rings before he comes for them.",
        by=User.objects.get(username="warehouse"), at=at - timedelta(days=100),
    )  # fmt: skip


def _came(like: Lot, place: Place, at: datetime) -> None:
    assert like.owner_supplier is not None  # noqa: S101 - asked for above
    warehouse, buyer = (User.objects.get(username=name) for name in ("warehouse", "buyer"))
    came = Consigned(like.sku, 6, Decimal("148.00"), like.date_code)
    row = consigning.take(
        supplier=like.owner_supplier, tyres=[came], place=place, reference="RS 2207",
        due_on=timezone.localdate(at) + timedelta(days=45), by=warehouse, at=at - timedelta(days=3),
    )  # fmt: skip
    lot = row.lots.get().lot
    consigning.buy_in(consignment=row, parts=[Part(lot, place, 2)], by=buyer, at=at)
    consigning.give_back(
        consignment=row, parts=[Part(lot, place, 1)], note="Marked on the shoulder.",
        by=warehouse, at=at,
    )  # fmt: skip
