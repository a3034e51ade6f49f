"""Sites and places over the API."""

from __future__ import annotations

from rest_framework import serializers

from inventory.activities import cataloguing
from inventory.ground.rest.filtering import FilterSet, RowFilter, WordsFilter, filters
from inventory.ground.rest.serializers import Told
from inventory.ground.rest.views import Kept
from inventory.models.place import Place, PlaceKind, Site, SiteKind


class SiteSerializer(Told):
    """A building, or a van."""

    class Meta:
        model = Site
        fields = ("id", "code", "name", "kind")


class SiteFilters(FilterSet):
    code = filters.CharFilter(lookup_expr="iexact")
    kind = filters.ChoiceFilter(choices=SiteKind.choices)


class Sites(Kept):
    """Buildings and vans that hold stock."""

    queryset = Site.objects.all()
    serializer_class = SiteSerializer
    filterset_class = SiteFilters
    orderings = {"code": "code", "id": "pk"}
    default_ordering = "code"
    make = staticmethod(cataloguing.make_site)
    change = staticmethod(cataloguing.change_site)
    called = "site"


class PlaceSerializer(Told):
    """A rack, a bay or a shelf; `walk` is the order in which it is passed."""

    site_code = serializers.CharField(source="site.code", read_only=True)

    class Meta:
        model = Place
        fields = ("id", "site", "site_code", "code", "kind", "walk", "room")


class PlaceFilters(FilterSet):
    site = RowFilter(Site)
    code = filters.CharFilter(lookup_expr="iexact")
    kind = filters.ChoiceFilter(choices=PlaceKind.choices)
    q = WordsFilter("code")


class Places(Kept):
    """Racks, bays and shelves."""

    queryset = Place.objects.select_related("site")
    serializer_class = PlaceSerializer
    filterset_class = PlaceFilters
    orderings = {"code": "code", "walk": "walk", "id": "pk"}
    default_ordering = "walk"
    make = staticmethod(cataloguing.make_place)
    change = staticmethod(cataloguing.change_place)
    called = "place"
