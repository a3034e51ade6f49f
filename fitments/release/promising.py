"""What promises ask of the register: held as it is meanwhile, and what of it was withdrawn."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from django.db.models import Q
from django.utils import timezone

from fitments.lookup.standing import held_since
from fitments.models.approval import ApprovalVersion
from fitments.models.car import IdentifiedCar
from fitments.release.judging import Register, spots_for, terms_of
from fitments.release.sold import SPARE, Sold, read
from fitments.rules.approval import withdrawn_for
from fitments.rules.values import ApprovalFact
from inventory.release import LeavingSet

__all__ = ["held_since", "withdrawn"]


def withdrawn(sets: Sequence[LeavingSet], *, at: datetime) -> list[str]:
    """Say which approvals of these tyres for these cars were withdrawn, nothing in their stead.

    A phrase for each, in the order of their codes. One query where nothing at all was withdrawn for
    such cars; the rules are asked only where something was.
    """
    if not _any_withdrawn(sets, at):
        return []
    register = Register()
    return phrases(fact for one in read(sets) for fact in _of(one, register, at))


def phrases(facts: Iterable[ApprovalFact]) -> list[str]:
    """Which, by whom and since when, in the order of their codes; each once."""
    found = {fact.code: fact for fact in facts}
    return [
        f"{code} by {fact.issuer}, withdrawn on {fact.withdrawn_on}"
        for code, fact in sorted(found.items())
    ]


def _any_withdrawn(sets: Sequence[LeavingSet], at: datetime) -> bool:
    cars = {one.car_id for one in sets if one.car_id is not None}
    classes = {str(one.answer.get("class", "")) for one in sets} - {""}
    lines = IdentifiedCar.objects.filter(customer_car__in=cars).values("variant__vehicle_line")
    concerned = Q(approval__vehicle_line__in=lines) | Q(
        approval__competition_class__code__in=classes
    )
    return (
        ApprovalVersion.objects.filter(concerned, known__contains=at)
        .filter(withdrawn_on__lte=timezone.localdate(at))
        .exists()
    )


def _of(sold: Sold, register: Register, at: datetime) -> Iterable[ApprovalFact]:
    """Of a tyre that may go on either axle, only what was withdrawn for both."""
    if sold.car is None or not sold.tyres:
        return
    terms = terms_of(sold, timezone.localdate(at))
    spots = spots_for(sold, sold.car, register, at)
    for place, some in sold.tyres.items():
        for _, tyre in some:
            lost = [
                withdrawn_for(tyre, spot, terms)
                for spot in spots.values()
                if place in ("", SPARE, spot.axle)
            ]
            if all(lost):
                yield from (fact for facts in lost for fact in facts)
