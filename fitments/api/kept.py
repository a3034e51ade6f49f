"""What was known of classes and of marks, over the API: every version, or those of a day."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db.models import QuerySet
from rest_framework import serializers

from fitments.lookup.register import end_of
from fitments.models.mark import IssuerMark, IssuerMarkVersion
from fitments.models.organiser import CompetitionClass, CompetitionClassVersion
from inventory.ground.rest.filtering import FilterSet, IsoDateFilter, RowFilter
from inventory.ground.rest.serializers import Told
from inventory.ground.rest.views import Listed

KNOWN = "As it was known when this day of the shop was over"
SPAN = ("known_from", "known_to")


class KnownFilters(FilterSet):
    """`known_on` a day: the one version of each that was known when it was over."""

    known_on = IsoDateFilter(method="was_known", help_text=KNOWN)

    def was_known(self, rows: QuerySet[Any], name: str, value: date) -> QuerySet[Any]:
        """Known when a day was over."""
        return rows.filter(known__contains=end_of(value))


class ClassVersionSerializer(Told):
    """What was known of a class from `known_from` until `known_to`, null while it is known.

    `admitted` are the numbers of the cars that it admitted then.
    """

    code = serializers.CharField(source="competition_class.code", read_only=True)
    known_from = serializers.DateTimeField(source="known.lower", read_only=True)
    known_to = serializers.DateTimeField(source="known.upper", read_only=True, allow_null=True)
    admitted: Any = serializers.ListField(child=serializers.IntegerField(), read_only=True)

    class Meta:
        model = CompetitionClassVersion
        fields = (
            *("id", "competition_class", "code", *SPAN, "name", "age_limit_months"),
            *("buffing_allowed", "admitted"),
        )


class ClassVersionFilters(KnownFilters):
    competition_class = RowFilter(CompetitionClass)


class ClassVersions(Listed):
    """Everything that was ever known of any class, newest first."""

    queryset = CompetitionClassVersion.objects.select_related("competition_class")
    serializer_class = ClassVersionSerializer
    filterset_class = ClassVersionFilters
    orderings = {"id": "pk"}
    default_ordering = "-id"


class MarkVersionSerializer(Told):
    """What was known of a mark from `known_from` until `known_to`, null while it is known."""

    mark = serializers.CharField(source="issuer_mark.mark", read_only=True)
    car_maker = serializers.IntegerField(source="issuer_mark.car_maker_id", read_only=True)
    known_from = serializers.DateTimeField(source="known.lower", read_only=True)
    known_to = serializers.DateTimeField(source="known.upper", read_only=True, allow_null=True)
    written_by = serializers.CharField(source="written_by.username", read_only=True)

    class Meta:
        model = IssuerMarkVersion
        fields = (
            *("id", "issuer_mark", "mark", "car_maker", *SPAN, "mixing", "old_stock", "evidence"),
            *("why", "written_at", "written_by"),
        )


class MarkVersionFilters(KnownFilters):
    issuer_mark = RowFilter(IssuerMark)


class MarkVersions(Listed):
    """Everything that was ever said of any mark, newest first."""

    queryset = IssuerMarkVersion.objects.select_related("issuer_mark", "written_by")
    serializer_class = MarkVersionSerializer
    filterset_class = MarkVersionFilters
    orderings = {"id": "pk"}
    default_ordering = "-id"
