"""Which variant do these words mean? By what people call a car, and by its chassis number."""

from __future__ import annotations

import re

from django.contrib.postgres.search import TrigramWordSimilarity
from django.db import connection
from django.db.models import Q, QuerySet

from fitments.lookup.span import Span
from fitments.models.car import Variant

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


def variants_with_chassis(text: str) -> tuple[Variant, ...]:
    """Variants whose chassis numbers include this one: a prefix, then a number in a range."""
    found = _CHASSIS.match(text.strip())
    if not found or not found[1]:
        return ()
    prefix, number = found[1].upper(), int(found[2])
    rows = _named().filter(
        chassis_ranges__prefix__iexact=prefix,
        chassis_ranges__number_from__lte=number,
        chassis_ranges__number_to__gte=number,
    )
    return tuple(rows.order_by("code").distinct()[:MOST])


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
