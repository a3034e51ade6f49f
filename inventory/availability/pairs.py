"""Fronts with their rears: how many complete sets of 2 + 2 the counter would promise unasked."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.utils import timezone

from inventory.availability.promising import mark_text
from inventory.availability.prospects import promises, prospects
from inventory.availability.values import Need, SetAnswer
from inventory.markings.datecode.age import oldest_allowed_week
from inventory.models.sku import Hand, Sku
from inventory.sets.recipe import Recipe, RecipePlace

Pair = tuple[int, int]
"""A front and its rear, by the keys of their SKUs."""
PER_AXLE = 2


def sets_of_pairs(pairs: Sequence[Pair], *, limit_months: int, at: datetime) -> dict[Pair, int]:
    """Complete sets of each pair: by date codes, marks and what has to go with the tyres, under the
    house's limit of age and its tolerance, as for a customer who wishes nothing special.

    A pair of which a tyre is built for one side only is left out: its other hand is another SKU.
    As many queries however many pairs.
    """
    asked = prospects(_needs(pairs, limit_months, at), at=at)
    return {one.need.key: one.count.sets for one in asked}  # type: ignore[misc]


def promise_of_pair(pair: Pair, *, limit_months: int, at: datetime) -> SetAnswer | None:
    """The same of one pair, with the reason for no more; None where it is left out."""
    return next(iter(promises(_needs([pair], limit_months, at), at=at)), None)


def _needs(pairs: Sequence[Pair], limit_months: int, at: datetime) -> list[Need]:
    rows = Sku.objects.filter(pk__in={sku for pair in pairs for sku in pair}, hand=Hand.NONE)
    marks = {pk: _marks(*said) for pk, *said in rows.values_list("pk", "mark", "mark_issue")}
    oldest = oldest_allowed_week(limit_months=limit_months, on=timezone.localdate(at))
    return [
        Need(pair, _recipe(pair, marks, oldest))
        for pair in pairs
        if all(sku in marks for sku in pair)
    ]


def _marks(mark: str, issue: str) -> tuple[str, ...]:
    """The mark and issue that it is sold with; any, where it is sold without an issue."""
    return (mark_text(mark, issue),) if mark and issue else ()


def _recipe(pair: Pair, marks: dict[int, tuple[str, ...]], oldest: int) -> Recipe:
    places = zip(("front", "rear"), pair, strict=True)
    return Recipe(
        tuple(
            RecipePlace(name, skus=(sku,), count=PER_AXLE, marks=marks[sku]) for name, sku in places
        ),
        oldest_week=oldest,
        allow_undated=True,
    )
