"""Classes of organisers as they were known at a moment: their terms, and the cars they admit."""

from __future__ import annotations

from copy import copy
from datetime import datetime

from django.db.models import QuerySet

from fitments.models.car import Variant
from fitments.models.organiser import CompetitionClass, CompetitionClassVersion


def as_known(row: CompetitionClass | None, known_on: datetime) -> CompetitionClass | None:
    """A class with the name, limits and cars that were known of it at a moment; one query.

    The row that is given stays as it is. Before anything was known of it, a class is told as it
    was known first: whoever asks for it by its code learnt of it later. Never as known today.
    """
    if row is None:
        return None
    kept = list(CompetitionClassVersion.objects.filter(competition_class=row).order_by("pk"))
    if not kept:
        return row
    told = [one for one in kept if one.known.lower <= known_on] or kept[:1]
    then = copy(row)
    for name in ("name", "age_limit_months", "buffing_allowed", "admitted"):
        setattr(then, name, getattr(told[-1], name))
    return then


def was_known(row: CompetitionClass, known_on: datetime) -> bool:
    """Whether anything was on record of a class at a moment."""
    kept = CompetitionClassVersion.objects.filter(competition_class=row)
    return kept.filter(known__contains=known_on).exists()


def admitted_by(row: CompetitionClass) -> QuerySet[Variant]:
    """The cars that a class of ``as_known`` admitted, by their codes."""
    rows = Variant.objects.filter(pk__in=row.admitted)
    return rows.select_related("vehicle_line__maker").order_by("code")
