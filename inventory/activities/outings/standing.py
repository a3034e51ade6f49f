"""What a van was loaded with for a meeting, what was sold of it, what is left. Reads only."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import Q, Sum

from inventory.models.balance import Balance
from inventory.models.lot import Lot
from inventory.models.outing import Outing
from inventory.models.place import PlaceKind, Site
from inventory.models.posting import LedgerLine, PostingKind
from inventory.models.transfer import Transfer, TransferLine


@dataclass(frozen=True, slots=True)
class Stands:
    """One lot of an outing, in tyres.

    before: in the van when it was taken out. otherwise: what else came or went, such as what was
    counted, written off or returned. back: sent home by unloading, of which so many have
    ``arrived``, are still ``to_come`` or never will (``missing``).
    """

    lot: Lot
    before: int
    loaded: int
    sold: int
    otherwise: int
    back: int
    arrived: int
    to_come: int
    missing: int

    @property
    def left(self) -> int:
        """What is in the van by the books: what was there and loaded, less what went."""
        return self.before + self.loaded - self.sold + self.otherwise - self.back

    @property
    def differs(self) -> bool:
        """Whether fewer were found than had to be."""
        return bool(self.to_come or self.missing)


def left_in(van: Site) -> list[Balance]:
    """All that lies in a van by the books, in walking order."""
    rows = Balance.objects.filter(place__site=van, on_hand__gt=0)
    told = rows.exclude(place__kind=PlaceKind.IN_TRANSIT).select_related("lot__sku", "place")
    return list(told.order_by("place__walk", "place__code", "lot__code"))


def standing(outing: Outing) -> list[Stands]:
    """Every lot that the van had for the meeting, by SKU. Four queries."""
    transfers = list(outing.transfers.order_by("pk"))
    home = [one for one in transfers if one.to_site_id == outing.home_id]
    there = [one for one in transfers if one.to_site_id == outing.van_id]
    sums = _sums(outing, _numbers(there), _numbers(home))
    back = _back(home)
    lots = Lot.objects.filter(pk__in=sums).select_related("sku").order_by("sku__code", "pk")
    found = [_stands(lot, sums[lot.pk], back.get(lot.pk, (0, 0, 0))) for lot in lots]
    return [one for one in found if one.before or one.loaded or one.otherwise or one.back]


def _numbers(transfers: list[Transfer]) -> list[str]:
    return [one.number for one in transfers]


def _sums(outing: Outing, loading: list[str], unloading: list[str]) -> dict[int, Mapping[str, Any]]:
    """What the ledger says of the van's places, by lot: before, loaded, sold, back, all of it."""
    lines = LedgerLine.objects.filter(place__site=outing.van)
    if outing.ended_at is not None:
        lines = lines.filter(posting__at__lte=outing.ended_at)
    ours = Q(posting__document__in=[*loading, *unloading])
    # Opening stock of that very moment was there before the van was taken out.
    then = Q(posting__at=outing.opened_at) & ~Q(posting__kind=PostingKind.OPENING)
    since = Q(posting__at__gt=outing.opened_at) | then | ours
    rows = (
        lines.exclude(place__kind=PlaceKind.IN_TRANSIT)
        .order_by("lot")
        .values("lot")
        .annotate(
            before=Sum("on_hand_change", default=0, filter=~since),
            loaded=Sum("on_hand_change", default=0, filter=Q(posting__document__in=loading)),
            back=Sum("on_hand_change", default=0, filter=Q(posting__document__in=unloading)),
            sold=Sum(
                "on_hand_change",
                default=0,
                filter=since & Q(posting__kind=PostingKind.DESPATCH),
            ),
            change=Sum("on_hand_change", default=0, filter=since),
        )
    )
    return {row["lot"]: row for row in rows}


def _stands(lot: Lot, sums: Mapping[str, Any], came: tuple[int, int, int]) -> Stands:
    arrived, to_come, missing = came
    loaded, sold, back = sums["loaded"], -sums["sold"], -sums["back"]
    return Stands(
        lot=lot, before=sums["before"], loaded=loaded, sold=sold, back=back,
        otherwise=sums["change"] - loaded + sold + back,
        arrived=arrived, to_come=to_come, missing=missing,
    )  # fmt: skip


def _back(transfers: list[Transfer]) -> dict[int, tuple[int, int, int]]:
    """How what was sent home stands, by lot."""
    lines = TransferLine.objects.filter(transfer__in=transfers).order_by("pk")
    return {line.lot_id: (line.arrived, line.to_come, line.missing) for line in lines}
