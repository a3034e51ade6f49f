"""Sites and the places in them."""

from __future__ import annotations

import factory
from factory.django import DjangoModelFactory

from inventory.models.place import Place, PlaceKind, Site, SiteKind


class SiteFactory(DjangoModelFactory):
    class Meta:
        model = Site

    class Params:
        van = factory.Trait(kind=SiteKind.MOBILE, name=factory.Sequence(lambda n: f"race van {n}"))

    code = factory.Sequence(lambda n: f"S{n}")
    name = factory.Sequence(lambda n: f"Marrow Lane {n}")
    kind = SiteKind.FIXED


class PlaceFactory(DjangoModelFactory):
    """A rack; a trait makes it another kind of place."""

    class Meta:
        model = Place

    class Params:
        goods_in = factory.Trait(kind=PlaceKind.GOODS_IN)
        quarantine = factory.Trait(kind=PlaceKind.QUARANTINE)
        despatch = factory.Trait(kind=PlaceKind.DESPATCH)
        in_transit = factory.Trait(kind=PlaceKind.IN_TRANSIT)

    site = factory.SubFactory(SiteFactory)
    code = factory.Sequence(lambda n: f"A{n // 10:02}-{n}")
    kind = PlaceKind.STORAGE
    walk = factory.Sequence(lambda n: n)
