"""Tyres of a list with their shelf, in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.utils import timezone

from inventory.availability import SetAnswer
from stockist.counter import wording
from stockist.counter.shelf import ShelfAnswer
from stockist.drawings.ruler import Ruler


@dataclass(frozen=True, slots=True)
class ShelfRow:
    """One tyre of a list, with its shelf."""

    skus: tuple[wording.Title, ...]
    status: str
    mark: str
    sets: int | None
    sets_words: str
    why_fewer: str
    price: str
    dates: tuple[str, ...]
    shelf: str
    to_sell: int
    coming: str
    ruler: Ruler | None
    tyres: int
    shown: str


def shelf_rows(answers: Sequence[ShelfAnswer], at: datetime | None = None) -> list[ShelfRow]:
    """Rows for a list, what can be had first."""
    at = at or timezone.now()
    rows = [shelf_row(one, at) for one in answers]
    return sorted(rows, key=lambda row: (-(row.sets or 0), -row.to_sell))


def shelf_row(answer: ShelfAnswer, at: datetime) -> ShelfRow:
    sets: SetAnswer | None = answer.sets
    return ShelfRow(
        skus=tuple(wording.Title(sku.code, wording.title_of(sku)) for sku in answer.skus),
        status=answer.sku.get_status_display(),
        mark=f"{answer.sku.mark} {answer.sku.mark_issue}".strip(),
        sets=sets.sets if sets else None,
        sets_words=wording.plural(sets.sets, "set") if sets else f"{answer.to_sell} to sell",
        why_fewer=sets.reason if sets else "",
        price=wording.price_said(sets)
        if sets
        else wording.money(answer.sku.price, answer.sku.currency),
        dates=tuple(wording.lot_said(one) for one in sets.chosen) if sets else (),
        shelf=wording.shelf_said(answer.figures),
        to_sell=answer.to_sell,
        coming=wording.coming_said(answer.figures, timezone.localdate(at)),
        ruler=wording.ruler_of(sets, answer.lots, timezone.localdate(at)),
        tyres=sum(count for _, count in wording.pieces_wanted(sets)) if sets else 1,
        shown=wording.shown_of(sets),
    )
