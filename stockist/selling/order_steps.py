"""What is done with an order as a whole: its head, pieces beside, its end."""

from __future__ import annotations

from typing import Any

from inventory.activities import ordering
from inventory.activities.ordering import AskPieces, Holding
from stockist.selling.forms import HeadForm, PiecesForm, WhyForm
from stockist.selling.order_page import page, rows_of
from stockist.selling.steps import step

CHANGE = "inventory.change_order"
SAME: dict[str, Any] = {
    "permission": CHANGE, "rows": rows_of, "called": "order", "page": page,
    "to": lambda row: ("selling:order", row.pk),
}  # fmt: skip


def _pieces(form: PiecesForm) -> dict[str, Any]:
    said = form.cleaned_data
    ask = AskPieces(sku=said["sku"], quantity=said["quantity"])
    return {"asks": [ask], "holding": Holding(said["holding"] or Holding.ALL)}


change = step(
    **SAME, form=HeadForm, name="change", work=ordering.change_order, done="Kept.",
    values=lambda form: form.head(),
)  # fmt: skip
add_pieces = step(
    **SAME, form=PiecesForm, name="pieces", work=ordering.add_lines, done="Added.", values=_pieces
)
cancel = step(
    **SAME, form=WhyForm, name="end", work=ordering.cancel_order,
    done="Cancelled: what was held for it is free.",
)  # fmt: skip
close = step(
    **SAME, form=WhyForm, name="end", work=ordering.close_order,
    done="Closed: what had not left is given up.",
)  # fmt: skip
