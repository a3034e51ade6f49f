"""Sites, and the places in them where tyres can lie."""

from __future__ import annotations

from datetime import datetime
from typing import TypedDict, Unpack

from django.contrib.auth.models import User

from inventory.ground.entries.register import Register
from inventory.models.place import Place, Site

SITES = Register(Site, key=("code",))
PLACES = Register(Place, key=("code",))


class SiteValues(TypedDict, total=False):
    """What can be said of a site."""

    code: str
    name: str
    kind: str


class PlaceValues(TypedDict, total=False):
    """What can be said of a place; ``walk`` is the order in which it is passed."""

    site: Site
    code: str
    kind: str
    walk: int
    room: int | None


def make_site(*, by: User, at: datetime, **values: Unpack[SiteValues]) -> Site:
    """Enter a site: a building, or a van. Raises Faulty."""
    return SITES.make(values, by=by, at=at)


def change_site(*, site: Site, by: User, at: datetime, **values: Unpack[SiteValues]) -> Site:
    """Change what is given of a site. Raises Faulty."""
    return SITES.change(site, values, by=by, at=at)


def make_place(*, by: User, at: datetime, **values: Unpack[PlaceValues]) -> Place:
    """Enter a place. Raises Faulty."""
    return PLACES.make(values, by=by, at=at)


def change_place(*, place: Place, by: User, at: datetime, **values: Unpack[PlaceValues]) -> Place:
    """Change what is given of a place. Raises Faulty."""
    return PLACES.change(place, values, by=by, at=at)
