"""Enquiries that name a size and no SKU: whose demand they were.

Nothing on the shelf served them. So each counts for the tyres of that size that the house deals in
and that had none to sell on that day, in proportion to what they sell, and a piece more each, so
that a new one has a share too (common practice, no source). Where every such tyre was there, or the
house deals in none of the size, it is no SKU's demand: it is told beside, since only another tyre
would have served it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

import numpy as np
from django.conf import settings

from inventory.markings import UnreadableMarking, read_size, search_keys
from inventory.models.sku import SkuStatus
from inventory.planning.arrays import Floats, Ints
from inventory.reordering.columns import rows_of

_SIZES = """
SELECT e.size, (e.asked_at AT TIME ZONE %(zone)s)::date - %(origin)s::date, e.pieces
FROM inventory_enquiry e WHERE e.sku_id IS NULL AND e.asked_at < %(until)s
ORDER BY e.asked_at, e.id
"""
_TYRES = """
SELECT s.id, s.size_keys FROM inventory_sku s
WHERE s.kind = 'tyre' AND s.status <> %(gone)s AND s.size_keys && %(keys)s::varchar[]
ORDER BY s.id
"""
_ASKED = """
SELECT e.size, count(*), sum(e.pieces), max((e.asked_at AT TIME ZONE %(zone)s)::date)
FROM inventory_enquiry e WHERE e.sku_id IS NULL AND e.asked_at >= %(since)s AND e.asked_at <= %(at)s
GROUP BY 1 ORDER BY 3 DESC, 1
"""
LOOKED_BACK = timedelta(days=730)


@dataclass(frozen=True, slots=True)
class Sharers:
    """Of each enquiry the SKUs that have its size: which enquiry, which SKU; one entry a pair."""

    enquiry: Ints
    sku: Ints
    day: Ints
    pieces: Floats


@dataclass(frozen=True, slots=True)
class SizeAsked:
    """A size that was asked for without naming a SKU, how often, and how many SKUs have it."""

    size: str
    times: int
    pieces: int
    latest: date
    skus: int


def read_sharers(given: Mapping[str, Any]) -> Sharers:
    """Every enquiry for a size with the tyres that have it. Two queries."""
    asked = rows_of(_SIZES, given)
    tyres = _tyres_of({row[0] for row in asked})
    pairs = [(n, sku) for n, row in enumerate(asked) for sku in tyres[row[0]]]
    enquiry, sku = np.array(pairs, np.int64).reshape(-1, 2).T
    day = np.array([row[1] for row in asked], np.int64)
    pieces = np.array([row[2] for row in asked], float)
    return Sharers(enquiry, sku, day[enquiry], pieces[enquiry])


def shared(sharers: Sharers, without: Ints, weight: Floats) -> Floats:
    """The pieces of each entry in ``without`` that are its own; ``weight`` has an entry each."""
    enquiry = sharers.enquiry[without]
    if not enquiry.size:
        return np.zeros(0)
    all_of_it = np.bincount(enquiry, weight)[enquiry]
    return np.asarray(sharers.pieces[without] * weight / all_of_it)


def sizes_asked(at: datetime) -> list[SizeAsked]:
    """The sizes asked for in two years, the most pieces first. Two queries."""
    given = {"zone": settings.TIME_ZONE, "since": at - LOOKED_BACK, "at": at}
    rows = rows_of(_ASKED, given)
    tyres = _tyres_of({row[0] for row in rows})
    return [
        SizeAsked(size, times, pieces, latest, len(tyres[size]))
        for size, times, pieces, latest in rows
    ]


def of_one_size(keys: Iterable[str]) -> list[int]:
    """The SKUs that share a size with one of these keys."""
    given = {"keys": sorted(keys), "gone": SkuStatus.DISCONTINUED.value}
    return [row[0] for row in rows_of(_TYRES, given)]


def _tyres_of(sizes: Iterable[str]) -> dict[str, Sequence[int]]:
    keys = {size: _keys(size) for size in sizes}
    given = {"keys": sorted({*()}.union(*keys.values())), "gone": SkuStatus.DISCONTINUED.value}
    by_key: dict[str, set[int]] = {}
    for sku, its_keys in rows_of(_TYRES, given):
        for key in its_keys:
            by_key.setdefault(key, set()).add(sku)
    return {
        size: sorted(set().union(*(by_key.get(key, set()) for key in mine)))
        for size, mine in keys.items()
    }


def _keys(size: str) -> frozenset[str]:
    """None where the size cannot be read: it was kept as it was asked for."""
    try:
        return search_keys(read_size(size))
    except UnreadableMarking:
        return frozenset()
