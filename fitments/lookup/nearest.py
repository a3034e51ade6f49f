"""The tyres nearest in diameter on some rims, by a statement for each number of rims."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from functools import cache
from typing import Any, NamedTuple

from django.db.models import F, Q, QuerySet, Value
from django.db.models.functions import Abs

from inventory.ground.planned import Planned
from inventory.ground.together import Asked
from inventory.models.sku import Sku

MOST_ALTERNATIVES = 40


class Reach(NamedTuple):
    """The tyres of a rim between two overall diameters; of any bead seat where none is told."""

    rim_mm: int
    least_mm: Decimal
    most_mm: Decimal
    bead: str


def nearest_to(
    middle_mm: Decimal, reaches: Sequence[Reach], *, without: Sequence[str]
) -> Asked[list[Sku]]:
    """Up to ``MOST_ALTERNATIVES`` tyres within any of the reaches, the nearest to a diameter, in
    the order of their codes, names joined; ``without`` the sizes of some search keys."""
    given: list[Any] = [middle_mm, list(without)]
    for one in reaches:
        given += one if one.bead else one[:3]
    return _planned(tuple(bool(one.bead) for one in reaches)).asked(*given)


@cache
def _planned(beads: tuple[bool, ...]) -> Planned[Sku]:
    """By which of the reaches are of one bead seat."""
    kinds: list[Any] = [Decimal, [str]]
    for bead in beads:
        kinds += [int, Decimal, Decimal, str] if bead else [int, Decimal, Decimal]
    return Planned(lambda *given: _near(beads, *given), *kinds)


def _near(
    beads: tuple[bool, ...], middle: Decimal, without: list[str], *given: Any
) -> QuerySet[Sku]:
    near, values = Q(), iter(given)
    for bead in beads:
        rim, least, most = next(values), next(values), next(values)
        one = Q(rim_mm=rim, overall_mm__range=(least, most))
        near |= one & Q(bead=next(values)) if bead else one
    others = Sku.objects.tyres().filter(near).exclude(size_keys__overlap=without)
    found = others.order_by(Abs(F("overall_mm") - Value(middle)), "code")[:MOST_ALTERNATIVES]
    return Sku.objects.filter(pk__in=found.values("pk")).with_names().order_by("code")
