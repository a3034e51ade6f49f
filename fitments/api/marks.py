"""Marks of car makers, and results of independent tests, over the API."""

from __future__ import annotations

from rest_framework import serializers

from fitments.activities import marks, results
from fitments.models.car import CarMaker
from fitments.models.evidence import Evidence
from fitments.models.mark import IssuerMark, Mixing
from fitments.models.test_report import TestResult
from inventory.ground.rest.filtering import FilterSet, RowFilter, filters
from inventory.ground.rest.serializers import Told
from inventory.ground.rest.views import Kept
from inventory.models.sku import Sku


class MarkSerializer(Told):
    """What a car maker says of its mark: of issues on one car, and of old stock."""

    car_maker_name = serializers.CharField(source="car_maker.name", read_only=True)
    written_by = serializers.CharField(source="written_by.username", read_only=True)

    class Meta:
        model = IssuerMark
        fields = (
            *("id", "car_maker", "car_maker_name", "mark", "mixing", "old_stock", "evidence"),
            *("why", "written_at", "written_by"),
        )
        read_only_fields = ("written_at",)


class MarkFilters(FilterSet):
    car_maker = RowFilter(CarMaker)
    mark = filters.CharFilter(lookup_expr="iexact", max_length=20)
    mixing = filters.ChoiceFilter(choices=Mixing.choices)


class Marks(Kept):
    """Marks of car makers; what was said of one before is kept."""

    queryset = IssuerMark.objects.select_related("car_maker", "written_by")
    serializer_class = MarkSerializer
    filterset_class = MarkFilters
    orderings = {"mark": "mark", "id": "pk"}
    default_ordering = "mark"
    make = staticmethod(marks.make_mark)
    change = staticmethod(marks.change_mark)
    called = "issuer_mark"


class ResultSerializer(Told):
    """What a report found of a tyre in one discipline; publisher and day are the report's."""

    sku_code = serializers.CharField(source="sku.code", read_only=True)
    publisher = serializers.CharField(source="evidence.issuer", read_only=True)
    published_on = serializers.DateField(source="evidence.dated", read_only=True, allow_null=True)
    written_by = serializers.CharField(source="written_by.username", read_only=True)

    class Meta:
        model = TestResult
        fields = (
            *("id", "evidence", "publisher", "published_on", "sku", "sku_code", "discipline"),
            *("result", "unit", "rank", "out_of", "note", "withdrawn", "why"),
            *("written_at", "written_by"),
        )
        read_only_fields = ("written_at",)


class ResultFilters(FilterSet):
    sku = RowFilter(Sku)
    evidence = RowFilter(Evidence)
    withdrawn = filters.BooleanFilter()


class Results(Kept):
    """Results of independent tests; what was said of one before is kept."""

    queryset = TestResult.objects.select_related("sku", "evidence", "written_by")
    serializer_class = ResultSerializer
    filterset_class = ResultFilters
    orderings = {"sku": "sku__code", "id": "pk"}
    default_ordering = "sku"
    make = staticmethod(results.record_result)
    change = staticmethod(results.change_result)
    called = "test_result"
