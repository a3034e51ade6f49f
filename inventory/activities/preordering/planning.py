"""On which deliveries a set can count, and the earliest day that can be promised."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from django.db.models import Sum

from inventory.activities.preordering.refusals import NothingToCountOn
from inventory.availability import Need
from inventory.availability.handed import TyreFact
from inventory.availability.promising import tyre_facts
from inventory.models.expected import ExpectedDelivery
from inventory.models.preorder import PreOrderLine, PreOrderState
from inventory.sets.recipe import RecipePlace


@dataclass(frozen=True, slots=True)
class Plan:
    """What a set counts on: tyres by key of the expected delivery; the day on which all are due."""

    counts_on: Mapping[int, int]
    day: date


@dataclass(slots=True)
class Expectations:
    """What is to come of some SKUs, soonest first, and how much of it nobody waits for."""

    rows: list[ExpectedDelivery]
    room: dict[int, int] = field(default_factory=dict)

    @classmethod
    def of(cls, rows: Iterable[ExpectedDelivery]) -> Expectations:
        found = list(rows)
        waits = waited_for(found)
        return cls(found, {row.pk: row.quantity - waits.get(row.pk, 0) for row in found})


def plan(need: Need, *, at: datetime) -> Plan:
    """The soonest deliveries that one set can count on; the tyres of an axle come by one.

    Raises NothingToCountOn. Reads only: queueing asks again under locks.
    """
    skus = {int(sku) for place in need.recipe.places for sku in need.recipe.skus_at(place)}
    rows = ExpectedDelivery.objects.still_to_come().filter(sku__in=skus)
    known = Expectations.of(rows.order_by("expected_on", "pk"))
    facts = tyre_facts(skus)
    counts: dict[int, int] = {}
    for place in need.recipe.places:
        skus_here = {int(sku) for sku in need.recipe.skus_at(place)}
        for these, count in _wants(place, skus_here, facts):
            row = _first(known, these, count)
            if row is None:
                raise NothingToCountOn(place.name, count)
            known.room[row.pk] -= count
            counts[row.pk] = counts.get(row.pk, 0) + count
    days = {row.pk: row.expected_on for row in known.rows}
    return Plan(counts, max(days[key] for key in counts))


def waited_for(rows: Iterable[ExpectedDelivery]) -> dict[int, int]:
    """By expected delivery, the tyres of it that pre-orders wait for."""
    lines = PreOrderLine.objects.filter(
        expected__in=list(rows), pre_order__state=PreOrderState.WAITING
    )
    sums = lines.values("expected").order_by("expected").annotate(n=Sum("quantity"))
    return dict(sums.values_list("expected", "n"))


def _wants(
    place: RecipePlace, skus: set[int], facts: Mapping[int, TyreFact]
) -> Iterator[tuple[set[int], int]]:
    if not place.handed:
        yield skus, place.tyres
        return
    for side, count in (("left", place.left), ("right", place.right)):
        if count:
            yield {sku for sku in skus if facts[sku].hand == side}, count


def _first(known: Expectations, skus: set[int], count: int) -> ExpectedDelivery | None:
    fit = (row for row in known.rows if row.sku_id in skus and known.room[row.pk] >= count)
    return next(fit, None)
