"""Answers of one site alone: what is in the van, asked at the meeting."""

from __future__ import annotations

from inventory.models.place import Site
from stockist.counter.wishes import Wishes

FROM_SITE = "from_site"
"""Carried in the address from question to question: the code of the site that is asked about."""


def site_named(code: str) -> Site | None:
    """The site of a code, whatever its letters; nothing is asked where nothing is said."""
    return Site.objects.filter(code__iexact=code).first() if code else None


def site_of(wishes: Wishes) -> int | None:
    """The key of the site whose tyres are meant; None for all sites."""
    found = site_named(wishes.from_site)
    return found.pk if found else None
