"""The SKUs that planning looks at: what each is, who goes with whom, by whose season it sells."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from inventory.models.maker import Use, Weather
from inventory.models.season import Category
from inventory.models.sku import SkuKind, SkuStatus
from inventory.planning.arrays import Flags, Floats, Ints
from inventory.planning.situation import NO_MATE
from inventory.reordering.columns import columns_of, rows_of

CATEGORIES = tuple(Category)
_CLOSE = 8  # keys up to so many times as high as there are SKUs
NOT_BOUGHT = (SkuStatus.DISCONTINUED.value, SkuStatus.LAST_STOCK.value)
"""What is not made any more is not ordered; only its age is looked at."""

_SKUS = """
SELECT s.id, s.code, s.size, s.axle_only, s.kind, coalesce(p.use, ''), coalesce(p.weather, ''),
    coalesce(p.id, 0), coalesce(s.price, -1)::float8, s.currency, s.status
FROM inventory_sku s LEFT JOIN inventory_pattern p ON p.id = s.pattern_id
WHERE %(only)s::bigint[] IS NULL OR s.id = ANY(%(only)s)
ORDER BY s.code, s.id
"""
_PAIRS = "SELECT front_id AS front, rear_id AS rear, in_sets FROM inventory_skupair"


@dataclass(frozen=True, slots=True)
class Range:
    """One entry a SKU, in the order of their codes; ``pk`` rising is not promised.

    ``price`` may be NaN: not known. ``mate`` is the row of the other axle's, ``in_sets`` the share
    of pieces that go out in sets with it. What is not ``made`` any more is not ordered. ``lineage``
    names the family from night to night, ``family`` counts those that are here from 0. ``whole``:
    nothing was left out.
    """

    pk: Ints
    code: Sequence[str]
    size: Sequence[str]
    place: list[str]
    category: Ints
    family: Ints
    price: Floats
    currency: Sequence[str]
    mate: Ints
    in_sets: Floats
    made: Flags
    lineage: Ints
    whole: bool = True

    @property
    def only(self) -> list[int] | None:
        """Their keys, or None where they are all that there are."""
        return None if self.whole else self.pk.tolist()

    @property
    def count(self) -> int:
        return self.pk.size

    def rows(self, pk: Ints) -> Ints:
        """The row of each SKU, -1 where it is none of these."""
        if not self.pk.size:
            return np.full(pk.shape, -1)
        if self.pk.max() < _CLOSE * self.pk.size and pk.size > self.pk.size:
            return self._looked_up(pk)
        order = np.argsort(self.pk)
        place = np.minimum(np.searchsorted(self.pk, pk, sorter=order), self.pk.size - 1)
        found = order[place]
        return np.where(self.pk[found] == pk, found, -1)

    def _looked_up(self, pk: Ints) -> Ints:
        """The same by a table of all keys, where they lie close together and many are asked for."""
        table = np.full(int(max(self.pk.max(), pk.max())) + 1, -1)
        table[self.pk] = np.arange(self.pk.size)
        return np.asarray(table[pk])


def read_range(only: Sequence[int] | None = None) -> Range:
    """Everything that is in the catalogue, or ``only`` some of it."""
    found = rows_of(_SKUS, {"only": None if only is None else list(only)})
    columns = list(zip(*found, strict=True)) if found else [()] * 11
    pk = np.array(columns[0], np.int64)
    family = np.array([f or -1 - len(kind) for f, kind in zip(columns[7], columns[4], strict=True)])
    price = np.array(columns[8], float)
    plain = Range(
        pk,
        columns[1],
        columns[2],
        list(columns[3]),
        np.array([category_of(*row[4:7]) for row in found], np.int64),
        np.unique(family, return_inverse=True)[1].astype(np.int64).reshape(-1),
        np.where(price < 0, np.nan, price),
        columns[9],
        np.full(pk.size, NO_MATE),
        np.zeros(pk.size),
        np.array([status not in NOT_BOUGHT for status in columns[10]], bool),
        family.astype(np.int64),
        only is None,
    )
    _pair(plain)
    return plain


def category_of(kind: str, use: str, weather: str) -> int:
    """The row of the season by which a SKU sells."""
    if kind != SkuKind.TYRE:
        return CATEGORIES.index(Category.COMPANIONS)
    if weather == Weather.WINTER:
        return CATEGORIES.index(Category.WINTER)
    if use == Use.ROAD:
        return CATEGORIES.index(Category.ROAD)
    if weather in (Weather.WET, Weather.INTERMEDIATE):
        return CATEGORIES.index(Category.RACE_WET)
    if use == Use.ROAD_AND_TRACK:
        return CATEGORIES.index(Category.ROAD_LEGAL)
    return CATEGORIES.index(Category.RACE_DRY)


Pair = tuple[int, int]
"""A front and its rear, by the keys of their SKUs."""


def pair_of(known: Range, row: int) -> Pair | None:
    """The pair that a SKU belongs to, if any."""
    mate = int(known.mate[row])
    if mate == NO_MATE:
        return None
    front, rear = (mate, row) if known.place[row] == "rear" else (row, mate)
    return int(known.pk[front]), int(known.pk[rear])


def _pair(known: Range) -> None:
    """Put in who goes with whom."""
    kinds = {"front": "i8", "rear": "i8", "in_sets": "i4"}
    pairs = columns_of(_PAIRS, {}, kinds)
    front, rear = known.rows(pairs["front"]), known.rows(pairs["rear"])
    both = (front >= 0) & (rear >= 0)
    front, rear, share = front[both], rear[both], pairs["in_sets"][both] / 100
    known.mate[front], known.mate[rear] = rear, front
    known.in_sets[front] = known.in_sets[rear] = share
    for row, place in (*((r, "front") for r in front), *((r, "rear") for r in rear)):
        known.place[row] = known.place[row] or place
