"""What a withdrawal touches: the stock, the holds and the open orders of the tyres it speaks of."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q

from fitments.lookup.coverage import skus_meant
from fitments.models.approval import Approval
from inventory.availability import Figures, stock_of
from inventory.models.hold import Hold
from inventory.models.sale import OrderLine, OrderState
from inventory.models.sku import Sku

MOST = 200
NAMES = ("maker", "pattern", "compound")


@dataclass(frozen=True, slots=True)
class Touched:
    """SKUs with their figures, holds that stand, and lines of open orders not all sent."""

    stock: tuple[tuple[Sku, Figures], ...]
    holds: tuple[Hold, ...]
    lines: tuple[OrderLine, ...]

    @property
    def words(self) -> str:
        """How much it is, in a sentence."""
        tyres = sum(figures.in_the_racks for _, figures in self.stock)
        skus, racks = _many(len(self.stock), "SKU"), _many(tyres, "tyre")
        holds, lines = _many(len(self.holds), "hold"), _many(len(self.lines), "line")
        return f"{skus} with {racks} in the racks, {holds}, {lines} of open orders."


def _many(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


def touched_by(approval: Approval, *, at: datetime) -> Touched:
    """What rests on an approval now; at most two hundred of each. Five queries."""
    skus = list(skus_meant(approval).select_related(*NAMES)[:MOST])
    ids = [sku.pk for sku in skus]
    figures = stock_of(ids, at=at)
    holds = Hold.objects.standing(at).filter(lines__lot__sku__in=ids).distinct()
    open_lines = OrderLine.objects.filter(order__state=OrderState.OPEN, cancelled=False)
    mine = open_lines.filter(Q(sku__in=ids) | Q(holds__lines__lot__sku__in=ids)).distinct()
    return Touched(
        tuple((sku, figures[sku.pk]) for sku in skus),
        tuple(holds.with_names().order_by("pk")[:MOST]),
        tuple(mine.select_related("order__customer").order_by("pk")[:MOST]),
    )
