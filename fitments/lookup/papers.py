"""Documents as they were known at a moment, and what they were worth then."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from django.db.models import F, QuerySet

from fitments.models.evidence import Evidence
from fitments.rules.values import Basis

_TOLD = ("kind", "reference", "issuer", "dated", "checked_at", "checked_by_id", "written_by_id")


def known_papers(known_on: datetime) -> QuerySet[Evidence]:
    """Documents that were known at a moment, each with what was known of it as ``then_…``.

    One query: what was known stands in the version of that moment, beside the row of today.
    """
    then: dict[str, Any] = {f"then_{name}": F(f"versions__{name}") for name in _TOLD}
    rows = Evidence.objects.filter(versions__known__contains=known_on)
    return rows.annotate(**then).order_by("code")


def basis_of(papers: Iterable[Any], known_on: datetime) -> Basis:
    """What papers of ``known_papers`` were worth: the best of what had been checked by then."""
    rows = list(papers)
    checked = [one for one in rows if one.then_checked_at and one.then_checked_at <= known_on]
    if any(one.then_checked_by_id != one.then_written_by_id for one in checked):
        return Basis.CHECKED
    if checked:
        return Basis.SELF_CHECKED
    return Basis.CLAIMED if rows else Basis.NONE


def called(paper: Any) -> str:
    """A paper as a sentence names it."""
    return f"{paper.then_reference}, {paper.then_issuer}"
