"""SKUs and lots as matching sees them: what two tyres have to have in common, in plain values."""

from __future__ import annotations

from collections.abc import Iterable
from operator import itemgetter
from typing import Any

from inventory.availability.handed import Same, TyreFact
from inventory.availability.shelf import Row
from inventory.availability.values import ShelfLot
from inventory.ground.together import Asked
from inventory.models.sku import Sku
from inventory.sets.recipe import Lot as SetLot

_BUILD = (
    *("maker_id", "pattern_id", "compound_id", "size", "load_index", "load_index_dual", "speed"),
    *("sidewall", "band_mm", "mark", "mark_issue"),
)
_SKUS = """
SELECT id, code, hand, sidewall, band_mm, price, currency,
    ROW(maker_id, pattern_id, compound_id, size, load_index, load_index_dual, speed, sidewall,
        band_mm, mark, mark_issue)::text
FROM inventory_sku WHERE id = ANY(%s::bigint[])
"""


def mark_text(mark: str, issue: str) -> str:
    """A mark with its issue as one text, as recipes name acceptable marks; "" where none."""
    return f"{mark} issue {issue}" if issue else mark


def tyre_facts(skus: Iterable[int]) -> dict[int, TyreFact]:
    """What matters for matching and price of some SKUs, in one query."""
    return tyres_asked(skus).answer()


def tyres_asked(skus: Iterable[int]) -> Asked[dict[int, TyreFact]]:
    """The same question, to be sent with others."""
    return Asked(_SKUS, [sorted(skus)], _facts_by_sku)


def fact_of(sku: Sku) -> TyreFact:
    """The same of a SKU at hand. Its build compares with builds of other SKUs at hand only."""
    build = repr([getattr(sku, name) for name in _BUILD])
    told = (sku.pk, sku.code, sku.hand, sku.sidewall, sku.band_mm, sku.price, sku.currency)
    return TyreFact(*told, build)


def _facts_by_sku(rows: list[Any]) -> dict[int, TyreFact]:
    return {row[0]: TyreFact(*row) for row in rows}


def set_lot(lot: ShelfLot, tyre: TyreFact, same: Same) -> SetLot:
    """What is free of a lot in a place, as matching sees it; its key is the two of them."""
    return SetLot(
        key=(lot.lot_id, lot.place_id),
        sku=same.get(lot.sku_id, lot.sku_id),
        week=lot.week,
        quantity=lot.free,
        delivery=lot.delivery or None,
        mark=mark_text(lot.mark, lot.mark_issue),
        pattern_issue=lot.pattern_issue,
        sidewall=tyre.dress,
        side=tyre.hand or None,
        place=lot.place,
        walk=lot.rank,
    )


_of = itemgetter(
    *(
        ShelfLot.__match_args__.index(name)
        for name in (
            *("lot_id", "place_id", "week", "delivery", "mark", "mark_issue", "pattern_issue"),
            *("place", "rank", "on_hand", "held"),
        )
    )
)


def rows_as_lots(rows: Iterable[Row], tyre: TyreFact, same: Same) -> list[SetLot]:
    """The same of rows of one SKU that have not been made values."""
    sku, dress, hand = same.get(tyre.sku_id, tyre.sku_id), tyre.dress, tyre.hand or None
    return [
        SetLot(
            (lot, place),
            sku,
            week,
            on_hand - held,
            delivery or None,
            mark_text(mark, issue),
            pattern_issue,
            dress,
            hand,
            name,
            rank,
        )
        for (
            lot, place, week, delivery, mark, issue, pattern_issue, name, rank, on_hand, held
        ) in map(_of, rows)
    ]  # fmt: skip
