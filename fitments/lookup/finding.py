"""Which variant do these words mean? By what people call a car, and by its chassis number."""

from __future__ import annotations

import re

from django.contrib.postgres.search import TrigramWordSimilarity
from django.db import connection
from django.db.models import Q, QuerySet

from fitments.lookup.span import Span
from fitments.models.car import ChassisRange, Variant

MOST = 40
LIKE_ENOUGH = 0.45
_CHASSIS = re.compile(
    r"^(?:chassis\s+)?(?:no\.?\s+)?([A-Z][A-Z0-9./-]*?)?[\s/-]*(\d{1,12})$", re.I | re.A
)


def plain(text: str) -> str:
    """Lower case without accents, as the search column holds it."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT plain(%s)", [text])
        row = cursor.fetchone()
    return str(row[0])


def _named() -> QuerySet[Variant]:
    return Variant.objects.select_related("vehicle_line__maker")


def chassis_within(text: str) -> QuerySet[ChassisRange]:
    """The ranges that a chassis number lies in: a prefix, then a number."""
    found = _CHASSIS.match(text.strip())
    if not found or not found[1]:
        return ChassisRange.objects.none()
    return ChassisRange.objects.filter(
        prefix__iexact=found[1], number_from__lte=int(found[2]), number_to__gte=int(found[2])
    )


def variants_with_chassis(text: str) -> tuple[Variant, ...]:
    """Variants whose chassis numbers include this one: a prefix, then a number in a range."""
    rows = _named().filter(pk__in=chassis_within(text).values("variant_id"))
    return tuple(rows.order_by("code")[:MOST])


def variants_called(words: str, built: Span | None) -> tuple[Variant, ...]:
    """Variants that have every word in their name; failing that, the ones most alike.

    With a time given, those that were built then come alone, unless none was.
    """
    wanted = plain(words).split()
    if not wanted:
        return ()
    every = Q()
    for word in wanted:
        every &= Q(search__contains=word)
    rows = list(_named().filter(every).order_by("code")[: MOST * 3])
    if not rows:
        likeness = TrigramWordSimilarity(" ".join(wanted), "search")
        rows = list(
            _named()
            .annotate(likeness=likeness)
            .filter(likeness__gte=LIKE_ENOUGH)
            .order_by("-likeness", "code")[:MOST]
        )
    if built is not None:
        rows = [one for one in rows if built.touches(one.built_from, one.built_to)] or rows
    return tuple(rows[:MOST])
