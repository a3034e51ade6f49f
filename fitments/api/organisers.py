"""Organisers, and the classes of their seasons, over the API."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from fitments.activities import organisers
from fitments.models.car import Variant
from fitments.models.organiser import CompetitionClass, Organiser
from inventory.ground.rest.filtering import FilterSet, RowFilter, WordsFilter, filters
from inventory.ground.rest.serializers import Told
from inventory.ground.rest.views import Kept


class OrganiserSerializer(Told):
    """A body that publishes a list of tyres for its races."""

    class Meta:
        model = Organiser
        fields = ("id", "code", "name")


class OrganiserFilters(FilterSet):
    code = filters.CharFilter(lookup_expr="iexact")
    q = WordsFilter("code", "name")


class Organisers(Kept):
    """Who runs races."""

    queryset = Organiser.objects.all()
    serializer_class = OrganiserSerializer
    filterset_class = OrganiserFilters
    orderings = {"name": "name", "code": "code", "id": "pk"}
    default_ordering = "name"
    make = staticmethod(organisers.make_organiser)
    change = staticmethod(organisers.change_organiser)
    called = "organiser"


class ClassSerializer(Told):
    """One class of a season, by one edition of the list; `variants` are the cars it admits."""

    organiser_name = serializers.CharField(source="organiser.name", read_only=True)
    variants: Any = serializers.PrimaryKeyRelatedField(
        many=True, queryset=Variant.objects.all(), required=False
    )

    class Meta:
        model = CompetitionClass
        fields = (
            *("id", "organiser", "organiser_name", "code", "season", "edition", "name"),
            *("age_limit_months", "buffing_allowed", "variants"),
        )


class ClassFilters(FilterSet):
    organiser = RowFilter(Organiser)
    season = filters.NumberFilter()
    code = filters.CharFilter(lookup_expr="iexact")
    variant = RowFilter(Variant, field_name="variants")
    q = WordsFilter("code", "name", "organiser__name")


class Classes(Kept):
    """Classes of the seasons of organisers, newest season first."""

    queryset = CompetitionClass.objects.select_related("organiser").prefetch_related("variants")
    serializer_class = ClassSerializer
    filterset_class = ClassFilters
    orderings = {"season": "season", "code": "code", "id": "pk"}
    default_ordering = "-season"
    make = staticmethod(organisers.make_class)
    change = staticmethod(organisers.change_class)
    called = "competition_class"
