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
        return (
            f"{len(self.stock)} SKUs with {tyres} tyres in the racks, {len(self.holds)} holds, "
            f"{len(self.lines)} lines of open orders."
        )


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
