"""Tyre makers, their patterns and their compounds over the API."""

from __future__ import annotations

from drf_spectacular.utils import OpenApiExample, extend_schema_serializer
from rest_framework import serializers

from inventory.activities import cataloguing
from inventory.ground.rest.filtering import FilterSet, RowFilter, WordsFilter, filters
from inventory.ground.rest.serializers import Told
from inventory.ground.rest.views import Versioned
from inventory.models.maker import Compound, Pattern, Tread, TyreMaker, Use, Weather


@extend_schema_serializer(
    examples=[
        OpenApiExample("a maker", {"code": "ORR", "name": "Orrel", "country": "Norland"}),
    ]
)
class TyreMakerSerializer(Told):
    """A maker of tyres, as the name stands on the sidewall."""

    class Meta:
        model = TyreMaker
        fields = ("id", "code", "name", "country")


class TyreMakerFilters(FilterSet):
    code = filters.CharFilter(lookup_expr="iexact")
    q = WordsFilter("code", "name", "country")


class TyreMakers(Versioned):
    """Makers of tyres."""

    queryset = TyreMaker.objects.all()
    serializer_class = TyreMakerSerializer
    filterset_class = TyreMakerFilters
    orderings = {"name": "name", "code": "code", "id": "pk"}
    default_ordering = "name"
    make = staticmethod(cataloguing.make_tyre_maker)
    change = staticmethod(cataloguing.change_tyre_maker)
    called = "maker"


@extend_schema_serializer(
    examples=[
        OpenApiExample(
            "a pattern",
            {"maker": 3, "name": "Fellrunner", "introduced": 1962, "tread": "symmetric"},
            request_only=True,
        ),
    ]
)
class PatternSerializer(Told):
    """A tread pattern, with the calendar years in which it could be had."""

    maker_name = serializers.CharField(source="maker.name", read_only=True)

    class Meta:
        model = Pattern
        fields = (
            *("id", "maker", "maker_name", "name", "introduced", "withdrawn", "remade_since"),
            *("tread", "shoulder", "use", "weather", "note"),
        )


class PatternFilters(FilterSet):
    maker = RowFilter(TyreMaker)
    tread = filters.ChoiceFilter(choices=Tread.choices)
    use = filters.ChoiceFilter(choices=Use.choices)
    weather = filters.ChoiceFilter(choices=Weather.choices)
    q = WordsFilter("name", "maker__name")


class Patterns(Versioned):
    """Tread patterns."""

    queryset = Pattern.objects.select_related("maker")
    serializer_class = PatternSerializer
    filterset_class = PatternFilters
    orderings = {"name": "name", "maker": "maker__name", "id": "pk"}
    default_ordering = "name"
    make = staticmethod(cataloguing.make_pattern)
    change = staticmethod(cataloguing.change_pattern)
    called = "pattern"


class CompoundSerializer(Told):
    """A rubber mix for competition; temperatures in °C."""

    maker_name = serializers.CharField(source="maker.name", read_only=True)

    class Meta:
        model = Compound
        fields = (
            *("id", "maker", "maker_name", "code", "temperature_from_c", "temperature_to_c"),
            *("axle_only", "successor", "year"),
        )


class CompoundFilters(FilterSet):
    maker = RowFilter(TyreMaker)
    code = filters.CharFilter(lookup_expr="iexact")
    year = filters.NumberFilter()


class Compounds(Versioned):
    """Rubber mixes for competition."""

    queryset = Compound.objects.select_related("maker")
    serializer_class = CompoundSerializer
    filterset_class = CompoundFilters
    orderings = {"code": "code", "maker": "maker__name", "id": "pk"}
    default_ordering = "code"
    make = staticmethod(cataloguing.make_compound)
    change = staticmethod(cataloguing.change_compound)
    called = "compound"
