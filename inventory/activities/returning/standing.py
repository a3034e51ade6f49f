"""What is still out of a despatch."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from inventory.models.despatch import Despatch, DespatchLine
from inventory.models.returned import ReturnLine


@dataclass(frozen=True, slots=True)
class StillOut:
    """One line of a despatch: how many left with it, came back since, and are out."""

    line: DespatchLine
    sent: int
    returned: int

    @property
    def left(self) -> int:
        return self.sent - self.returned


def still_out(despatch: Despatch) -> list[StillOut]:
    """Every line of a despatch in its order, those that came back in full too. Two queries."""
    back = returned_of(despatch)
    rows = despatch.lines.select_related("lot__sku", "order_line").order_by("pk")
    return [StillOut(line, line.quantity, back.get(line.pk, 0)) for line in rows]


def returned_of(despatch: Despatch) -> Mapping[int, int]:
    """How many came back of each line of a despatch, by its key."""
    back: Counter[int] = Counter()
    rows = ReturnLine.objects.filter(came_back__despatch=despatch).order_by("pk")
    for line, quantity in rows.values_list("despatch_line_id", "quantity"):
        back[line] += quantity
    return back
