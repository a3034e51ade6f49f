"""What is missing, joined with the shelf: the one answer of page, API, spreadsheet and job."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date, datetime

from django.utils import timezone

from fitments.lookup.coverage import (
    Catalogue,
    Gap,
    Missing,
    approvals_without_sku,
    evidence_due,
    listed_skus,
    uncovered_cars,
)
from fitments.models.car import Variant
from inventory.availability import stock_of

HEADS = ("What is missing", "Code", "Of what", "More")


def gaps(*, at: datetime, on: date | None = None) -> list[Missing]:
    """Everything that is missing on a day (today unless told), kind by kind.

    The number of queries does not grow with the number of cars.
    """
    day = on or timezone.localdate(at)
    catalogue = Catalogue.read()
    found = [
        *uncovered_cars(catalogue, on=day),
        *_none_in_stock(catalogue, at),
        *approvals_without_sku(catalogue, on=day),
        *evidence_due(on=day),
    ]
    places = list(Gap)
    return sorted(found, key=lambda one: places.index(one.gap))


def counted(found: Sequence[Missing]) -> str:
    """How much of each kind, in a sentence."""
    counts = Counter(one.gap for one in found)
    told = [f"{counts[gap]} × {gap.words}" for gap in Gap if counts[gap]]
    return f"{'; '.join(told)}." if told else "Nothing is missing."


def table_of(found: Sequence[Missing]) -> list[list[str]]:
    """As rows of a spreadsheet, the headings first."""
    return [list(HEADS), *([one.gap.words, one.code, one.name, one.words] for one in found)]


def _none_in_stock(catalogue: Catalogue, at: datetime) -> list[Missing]:
    """Variants whose listed tyres are in the catalogue, and of which none is to sell."""
    rows = Variant.objects.select_related("vehicle_line__maker").prefetch_related("fitments")
    listed = {variant: listed_skus(catalogue, variant) for variant in rows.order_by("code")}
    every = sorted(set().union(*listed.values()))
    to_sell = {pk for pk, figures in stock_of(every, at=at).items() if figures.to_sell}
    return [
        Missing(Gap.NONE_IN_STOCK, variant.code, str(variant), _of(skus))
        for variant, skus in listed.items()
        if skus and not skus & to_sell
    ]


def _of(skus: set[int]) -> str:
    return "one tyre in the catalogue" if len(skus) == 1 else f"{len(skus)} tyres in the catalogue"
