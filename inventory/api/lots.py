"""Lots and what stock there is of them, over the API."""

from __future__ import annotations

from typing import Any

from django.db.models import F, OuterRef, Prefetch, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.api.stock_page import SHOWN, first_page
from inventory.ground.rest.filtering import (
    FilterSet,
    IsoDateFilter,
    RowFilter,
    WordsFilter,
    filters,
)
from inventory.ground.rest.serializers import Told
from inventory.ground.rest.views import Listed
from inventory.models.balance import Balance
from inventory.models.lot import Block, Condition, Lot, LotQuerySet, Owner
from inventory.models.place import Place, Site
from inventory.models.sku import Sku


class StandingBlockSerializer(serializers.ModelSerializer[Any]):
    """A block that stands."""

    class Meta:
        model = Block
        fields = ("id", "reason", "note", "placed_at")


class LotSerializer(Told):
    """Tyres that are the same in every way that can be read off them, and came together.

    `first_day` and `last_day` are the week of the date code; `earliest` and `latest` carry the
    doubt. `on_hand` and `held` are counted over every place.
    """

    sku_code = serializers.CharField(source="sku.code", read_only=True)
    on_hand = serializers.IntegerField(read_only=True)
    held = serializers.IntegerField(read_only=True)
    blocks = StandingBlockSerializer(many=True, read_only=True)

    class Meta:
        model = Lot
        fields = (
            *("id", "code", "sku", "sku_code", "date_code", "first_day", "last_day", "earliest"),
            *("latest", "plant", "mark", "mark_issue", "pattern_issue", "country", "delivery"),
            *("received_on", "unit_cost", "currency", "owner", "owner_customer"),
            *("owner_supplier", "condition", "buffed_to_mm", "made_from", "on_hand", "held"),
            "blocks",
        )


class LotFilters(FilterSet):
    """Lots without a date code are in neither of `made_from` and `made_to`."""

    sku = RowFilter(Sku)
    code = filters.CharFilter(lookup_expr="iexact")
    made_from = IsoDateFilter(
        "earliest", "gte", help_text="Surely made on this day or later, whatever the doubt"
    )
    made_to = IsoDateFilter(
        "latest", "lte", help_text="Surely made on this day or earlier, whatever the doubt"
    )
    received_from = IsoDateFilter("received_on", "gte")
    received_to = IsoDateFilter("received_on", "lte")
    condition = filters.ChoiceFilter(choices=Condition.choices)
    owner = filters.ChoiceFilter(choices=Owner.choices)
    mark = filters.CharFilter(lookup_expr="iexact", max_length=20)
    delivery = filters.CharFilter(lookup_expr="iexact", max_length=40)
    blocked = filters.BooleanFilter(method="is_blocked", help_text="Whether any block stands")
    undated = filters.BooleanFilter("week_index", "isnull", help_text="No date code that dates it")
    q = WordsFilter("code", "sku__code", "delivery", "mark")

    def is_blocked(self, rows: LotQuerySet, name: str, value: bool) -> QuerySet[Any]:
        """Lots with a block that stands, or with none."""
        standing = Block.objects.filter(lifted_at__isnull=True).values("lot_id")
        return rows.filter(pk__in=standing) if value else rows.unblocked()


def in_all_places(column: str) -> Coalesce:
    """The sum of a column of the balances of a lot."""
    rows = Balance.objects.filter(lot=OuterRef("pk")).order_by().values("lot")
    return Coalesce(Subquery(rows.annotate(all=Sum(column)).values("all")), 0)


class Lots(Listed):
    """Lots; they come by opening stock and never change."""

    queryset = (
        Lot.objects.select_related("sku")
        .annotate(on_hand=in_all_places("on_hand"), held=in_all_places("held"))
        .prefetch_related(
            Prefetch("blocks", Block.objects.filter(lifted_at__isnull=True).order_by("pk"))
        )
    )
    serializer_class = LotSerializer
    filterset_class = LotFilters
    orderings = {"code": "code", "received_on": "received_on", "sku": "sku__code", "id": "pk"}
    default_ordering = "code"


class StockSerializer(Told):
    """What the ledger says of one lot in one place: there, held, and free."""

    lot_code = serializers.CharField(source="lot.code", read_only=True)
    sku = serializers.IntegerField(source="lot.sku_id", read_only=True)
    sku_code = serializers.CharField(source="lot.sku.code", read_only=True)
    place_code = serializers.CharField(source="place.code", read_only=True)
    place_kind = serializers.CharField(source="place.kind", read_only=True)
    site_code = serializers.CharField(source="place.site.code", read_only=True)
    free = serializers.IntegerField(read_only=True)

    class Meta:
        model = Balance
        fields = SHOWN


# Of five tables, and asked all day long: to name all their columns is a quarter of the work.
COLUMNS = (
    *("on_hand", "held", "lot__code", "lot__sku__code", "place__code", "place__kind"),
    *("place__walk", "place__site__code"),
)


class StockFilters(FilterSet):
    lot = RowFilter(Lot)
    sku = RowFilter(Sku, field_name="lot__sku")
    place = RowFilter(Place)
    site = RowFilter(Site, field_name="place__site")
    empty = filters.BooleanFilter(method="is_empty", help_text="Whether nothing is there any more")

    def is_empty(self, rows: QuerySet[Any], name: str, value: bool) -> QuerySet[Any]:
        """Balances of nought, or all others."""
        return rows.filter(on_hand=0) if value else rows.filter(on_hand__gt=0)


class Stock(Listed):
    """What is in which place, lot by lot; it follows from the postings."""

    queryset = (
        Balance.objects.select_related("lot__sku", "place__site")
        .annotate(free=F("on_hand") - F("held"))
        .only(*COLUMNS)
    )
    serializer_class = StockSerializer
    filterset_class = StockFilters
    orderings = {
        "walk": "place__walk",
        "sku": "lot__sku__code",
        "on_hand": "on_hand",
        "id": "pk",
    }
    default_ordering = "walk"

    def list(self, request: Request, *args: Any, **kwargs: Any) -> Response:
        page = first_page(request)
        return super().list(request, *args, **kwargs) if page is None else Response(page)
