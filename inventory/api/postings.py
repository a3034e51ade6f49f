"""The ledger over the API: what happened to stock, to be read only."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import Any

from django.db.models import Count, Prefetch, QuerySet
from django.utils import timezone
from rest_framework import serializers

from inventory.ground.rest.filtering import FilterSet, IsoDateFilter, RowFilter, filters
from inventory.ground.rest.serializers import Told
from inventory.ground.rest.views import Listed
from inventory.models.lot import Lot
from inventory.models.place import Place
from inventory.models.posting import LedgerLine, Posting, PostingKind
from inventory.models.sku import Sku

LINES_SHOWN = 50


class LineSerializer(Told):
    """So many tyres of one lot more, or fewer, in one place."""

    lot_code = serializers.CharField(source="lot.code", read_only=True)
    place_code = serializers.CharField(source="place.code", read_only=True)

    class Meta:
        model = LedgerLine
        fields = (
            *("id", "posting", "lot", "lot_code", "place", "place_code"),
            *("on_hand_change", "held_change"),
        )


class PostingSerializer(Told):
    """One thing that happened. `lines` holds the first 50; `ledger-lines` has all `line_count`."""

    recorded_by = serializers.CharField(source="recorded_by.username", read_only=True)
    line_count = serializers.IntegerField(read_only=True)
    lines = LineSerializer(source="first_lines", many=True, read_only=True)

    class Meta:
        model = Posting
        fields = (
            *("id", "kind", "at", "recorded_at", "recorded_by", "document", "corrects", "note"),
            *("line_count", "lines"),
        )


class PostingFilters(FilterSet):
    kind = filters.ChoiceFilter(choices=PostingKind.choices)
    document = filters.CharFilter(lookup_expr="iexact", max_length=60)
    corrects = RowFilter(Posting)
    lot = RowFilter(Lot, method="with_line")
    place = RowFilter(Place, method="with_line")
    sku = RowFilter(Sku, method="with_sku")
    from_day = IsoDateFilter(method="from_the", help_text="True on this day of the shop or later")
    to_day = IsoDateFilter(method="to_the", help_text="True on this day of the shop or earlier")

    def with_line(self, rows: QuerySet[Any], name: str, value: Any) -> QuerySet[Any]:
        """Postings with a line of this lot, or in this place."""
        return rows.filter(pk__in=LedgerLine.objects.filter(**{name: value}).values("posting_id"))

    def with_sku(self, rows: QuerySet[Any], name: str, value: Sku) -> QuerySet[Any]:
        """Postings with a line of a lot of this SKU."""
        lines = LedgerLine.objects.filter(lot__sku=value)
        return rows.filter(pk__in=lines.values("posting_id"))

    def from_the(self, rows: QuerySet[Any], name: str, value: date) -> QuerySet[Any]:
        """True on this day or later."""
        return rows.filter(at__gte=day_begins(value))

    def to_the(self, rows: QuerySet[Any], name: str, value: date) -> QuerySet[Any]:
        """True on this day or earlier, to its very end."""
        return rows.filter(at__lte=day_ends(value))


def day_begins(day: date) -> datetime:
    """The first moment of a day where the shop is."""
    return timezone.make_aware(datetime.combine(day, time.min))


def day_ends(day: date) -> datetime:
    """The last moment of a day where the shop is."""
    return timezone.make_aware(datetime.combine(day, time.max))


class Postings(Listed):
    """What happened to stock, newest first. New ones come by moves and corrections."""

    queryset = (
        Posting.objects.select_related("recorded_by")
        .annotate(line_count=Count("lines"))
        .prefetch_related(
            Prefetch(
                "lines",
                LedgerLine.objects.select_related("lot", "place").order_by("pk")[:LINES_SHOWN],
                to_attr="first_lines",
            )
        )
    )
    serializer_class = PostingSerializer
    filterset_class = PostingFilters
    orderings = {"id": "pk", "at": "at"}
    default_ordering = "-id"


class LineFilters(FilterSet):
    posting = RowFilter(Posting)
    lot = RowFilter(Lot)
    place = RowFilter(Place)
    sku = RowFilter(Sku, field_name="lot__sku")


class LedgerLines(Listed):
    """Every line of the ledger."""

    queryset = LedgerLine.objects.select_related("lot", "place")
    serializer_class = LineSerializer
    filterset_class = LineFilters
    orderings = {"id": "pk"}
    default_ordering = "-id"
