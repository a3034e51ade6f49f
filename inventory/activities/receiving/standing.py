"""How a delivery in hand stands, SKU by SKU: what would come of it if it were booked now. Reads."""

from __future__ import annotations

from dataclasses import dataclass

from inventory.activities.receiving.sharing import Came, shared
from inventory.models.delivery import Delivery, DeliveryLine
from inventory.models.purchase import PurchaseLine
from inventory.models.sku import Sku


@dataclass(frozen=True, slots=True)
class Standing:
    """One SKU of a delivery. ``to_come`` is None where it is not on the order, or there is none.

    ``says``: what the delivery note says, None where that was not told. ``right``, ``wrong``: read
    so far; ``over``: of the right ones, more than are to come.
    """

    sku: Sku
    to_come: int | None
    says: int | None
    right: int
    wrong: int
    over: int

    @property
    def read(self) -> int:
        """How many were read so far."""
        return self.right + self.wrong

    @property
    def short(self) -> int:
        """How many the note says that were not read."""
        return max((self.says or 0) - self.read, 0)


def standing(delivery: Delivery) -> list[Standing]:
    """Every SKU that is ordered, on the note or read, by code. Queries do not grow with lines."""
    lines = list(delivery.lines.select_related("sku").order_by("pk"))
    told = PurchaseLine.objects.filter(order=delivery.order_id).select_related("sku")
    by_sku = {one.sku_id: one for one in told.order_by("pk")} if delivery.order_id else {}
    says = {one.sku_id: one for one in delivery.note_lines.select_related("sku").order_by("pk")}
    skus = {line.sku_id: line.sku for line in lines}
    skus |= {pk: one.sku for pk, one in by_sku.items()} | {pk: one.sku for pk, one in says.items()}
    came = [_came(line, by_sku.get(line.sku_id)) for line in lines]
    shares, _ = shared(came, {one.pk: one.to_come for one in by_sku.values()})
    found = []
    for pk, sku in sorted(skus.items(), key=lambda item: item[1].code):
        mine = [one for line, one in zip(lines, came, strict=True) if line.sku_id == pk]
        found.append(
            Standing(
                sku=sku,
                to_come=by_sku[pk].to_come if pk in by_sku else None,
                says=says[pk].quantity if pk in says else None,
                right=sum(one.quantity for one in mine if one.right),
                wrong=sum(one.quantity for one in mine if not one.right),
                over=sum(shares[one.line].over for one in mine),
            )
        )
    return found


def _came(line: DeliveryLine, order_line: PurchaseLine | None) -> Came:
    pk = order_line.pk if order_line else None
    return Came(line.pk, pk, line.quantity, not line.disagrees)
