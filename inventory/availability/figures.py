"""What stands on the shelf, SKU by SKU and lot by lot."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime
from typing import Any

from inventory.availability.shelf import LAPSED, everything_of
from inventory.availability.values import PROMISED_FROM, Figures, ShelfLot
from inventory.ground.together import Asked
from inventory.models.sku import Sku

_SUMS = """
SELECT s.id, s.code, s.status, coalesce(e.first, s.expected_on),
    coalesce(t.racked, 0), coalesce(t.held, 0), coalesce(t.to_sell, 0), coalesce(t.quarantine, 0),
    coalesce(t.moving, 0), coalesce(t.not_ours, 0), e.tyres
FROM inventory_sku s
CROSS JOIN LATERAL (
    SELECT min(expected_on) AS first, coalesce(sum(quantity), 0) AS tyres
    FROM inventory_expecteddelivery WHERE sku_id = s.id AND state = 'expected'
) e
CROSS JOIN LATERAL (
    SELECT sum(b.on_hand) FILTER (WHERE ours AND racked) AS racked,
        sum(w.held) FILTER (WHERE ours AND racked) AS held,
        sum(b.on_hand - w.held) FILTER (WHERE ours AND racked AND l.condition = 'new'
            AND NOT EXISTS (SELECT FROM inventory_block k
                            WHERE k.lot_id = l.id AND k.lifted_at IS NULL)) AS to_sell,
        sum(b.on_hand) FILTER (WHERE ours AND p.kind = 'quarantine') AS quarantine,
        sum(b.on_hand) FILTER (WHERE ours AND p.kind IN ('in_transit', 'despatch')) AS moving,
        sum(b.on_hand) FILTER (WHERE NOT ours) AS not_ours
    FROM inventory_lot l
    JOIN inventory_balance b ON b.lot_id = l.id AND b.on_hand > 0
    JOIN inventory_place p ON p.id = b.place_id
        AND (%(site)s::bigint IS NULL OR p.site_id = %(site)s::bigint)
{lapsed}
    CROSS JOIN LATERAL (
        SELECT l.owner = 'house' AS ours, p.kind = ANY(%(kinds)s::text[]) AS racked,
            b.held - coalesce(x.held, 0) AS held
    ) w
    WHERE l.sku_id = s.id
) t
WHERE s.id = ANY(%(skus)s::bigint[]) ORDER BY s.code
"""
_FIGURES = _SUMS.format(lapsed=LAPSED)


def stock_of(
    skus: Collection[int], *, at: datetime, site_id: int | None = None
) -> dict[int, Figures]:
    """The figures of these SKUs by key, of one site or of all, in one query.

    `at` is the moment asked about: what a hold held that has run out by then is free. SKUs that
    are not there are left out.
    """
    return stock_asked(skus, at=at, site_id=site_id).answer()


def stock_asked(
    skus: Collection[int], *, at: datetime, site_id: int | None = None
) -> Asked[dict[int, Figures]]:
    """The same question, to be sent with others."""
    given = {"skus": list(skus), "kinds": list(PROMISED_FROM), "site": site_id, "at": at}
    return Asked(_FIGURES, given, _figures_by_sku)


def _figures_by_sku(rows: list[Any]) -> dict[int, Figures]:
    return {row[0]: Figures(*row) for row in rows}


def on_shelf(
    size_keys: Collection[str], *, at: datetime, site_id: int | None = None, most: int = 100
) -> list[Figures]:
    """The figures of the tyres of a size, however it is written: what is to be sold comes first.

    `size_keys` as `markings.search_keys` gives them. Two queries.
    """
    skus = Sku.objects.tyres().of_size(frozenset(size_keys)).order_by("code")
    figures = stock_of(list(skus.values_list("pk", flat=True)[:most]), at=at, site_id=site_id)
    return sorted(figures.values(), key=lambda one: (-one.to_sell, -one.in_the_racks, one.code))


def lots_of(skus: Collection[int], *, at: datetime, site_id: int | None = None) -> list[ShelfLot]:
    """Every tyre of these SKUs as it lies, in walking order, ours or not, to be sold or not."""
    lots = everything_of(skus, at=at)
    return [lot for lot in lots if site_id in (None, lot.site_id)]
