"""Seasons, events, changes and earlier sales over the API."""

from __future__ import annotations

from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.activities import earlier_sales, seasons
from inventory.api.acting import Acting
from inventory.api.alerts import OverrideRowSerializer
from inventory.ground.idempotency import once
from inventory.ground.rest.filtering import FilterSet, IsoDateFilter, RowFilter, filters
from inventory.ground.rest.serializers import Strict, Told
from inventory.ground.rest.views import Entered, Kept, Listed, Versioned
from inventory.models.alert import Alert, AlertOverride
from inventory.models.earlier_sales import EarlierSales
from inventory.models.learnt import Learnt
from inventory.models.season import Category, Event, Season, SeasonChange
from inventory.models.sku import Sku
from inventory.models.sku_pair import SkuPair


class SeasonSerializer(Told):
    """What is bought for, until when, with how much money."""

    class Meta:
        model = Season
        fields = (
            *("id", "name", "first_day", "last_day", "budget", "currency", "service"),
            *("review_days", "note"),
        )


class SeasonFilters(FilterSet):
    from_day = IsoDateFilter("last_day", "gte")


class Seasons(Versioned):
    """Seasons, the latest first."""

    queryset = Season.objects.all()
    serializer_class = SeasonSerializer
    filterset_class = SeasonFilters
    orderings = {"id": "pk", "day": "last_day"}
    default_ordering = "-day"
    make = staticmethod(seasons.make_season)
    change = staticmethod(seasons.change_season)
    called = "season"


class LearntSerializer(Told):
    """What a night learnt of all sales; `told` has each category's months, January first."""

    class Meta:
        model = Learnt
        fields = ("id", "learnt_at", "first_day", "last_day", "skus", "pieces", "told")


class LearntFilters(FilterSet):
    from_day = IsoDateFilter("last_day", "gte")


class Lessons(Listed):
    """What the nights learnt, the latest first."""

    queryset = Learnt.objects.all()
    serializer_class = LearntSerializer
    filterset_class = LearntFilters
    orderings = {"id": "pk", "learnt_at": "learnt_at"}
    default_ordering = "-learnt_at"


class EventSerializer(Told):
    """A meeting, a rally, a show, and the tyres it sells."""

    class Meta:
        model = Event
        fields = ("id", "name", "where", "first_day", "last_day", "category", "note")


class EventFilters(FilterSet):
    category = filters.ChoiceFilter(choices=Category.choices)
    from_day = IsoDateFilter("last_day", "gte")
    to_day = IsoDateFilter("first_day", "lte")


class Events(Versioned):
    """The calendar, by day."""

    queryset = Event.objects.all()
    serializer_class = EventSerializer
    filterset_class = EventFilters
    orderings = {"id": "pk", "day": "first_day", "name": "name"}
    default_ordering = "day"
    make = staticmethod(seasons.make_event)
    change = staticmethod(seasons.change_event)
    called = "event"


class ChangeSerializer(Told):
    """So many per cent more or fewer than the season of a category, and why."""

    made_by = serializers.CharField(source="made_by.username", read_only=True)
    withdrawn_by = serializers.CharField(
        source="withdrawn_by.username", read_only=True, default=None, allow_null=True
    )

    class Meta:
        model = SeasonChange
        fields = (
            *("id", "category", "first_day", "last_day", "percent", "why", "event"),
            *("made_at", "made_by", "withdrawn_at", "withdrawn_by", "withdrawn_why"),
        )
        read_only_fields = ("made_at", "withdrawn_at", "withdrawn_why")


class ChangeTakenBackSerializer(Strict):
    """Why it is taken back."""

    why = serializers.CharField(max_length=240)


class ChangeFilters(FilterSet):
    category = filters.ChoiceFilter(choices=Category.choices)
    standing = filters.BooleanFilter("withdrawn_at", "isnull")


MAY_TAKE_BACK = {"POST": ["inventory.change_seasonchange"]}


class Changes(Entered, Acting):
    """What will be otherwise next season."""

    queryset = SeasonChange.objects.select_related("made_by", "withdrawn_by")
    serializer_class = ChangeSerializer
    filterset_class = ChangeFilters
    orderings = {"id": "pk", "day": "first_day"}
    default_ordering = "day"
    make = staticmethod(seasons.say_change)
    called = "change"

    @extend_schema(request=ChangeTakenBackSerializer, responses=ChangeSerializer)
    @action(detail=True, methods=["post"], url_path="take-back", required_permissions=MAY_TAKE_BACK)
    @once
    def take_back(self, request: Request, pk: str) -> Response:
        """Take it back, with the reason."""
        return self.step(request, seasons.take_back, ChangeTakenBackSerializer)


class EarlierSerializer(Told):
    """One month of one SKU, as other books say; `month` is its first day."""

    sku_code = serializers.CharField(source="sku.code", read_only=True)

    class Meta:
        model = EarlierSales
        fields = (
            *("id", "sku", "sku_code", "month", "sold", "asked_in_vain", "days_without"),
            "source",
        )


class EarlierFilters(FilterSet):
    sku = RowFilter(Sku)
    from_day = IsoDateFilter("month", "gte")
    to_day = IsoDateFilter("month", "lte")


class EarlierMonths(Kept):
    """Sales before this system kept the books."""

    queryset = EarlierSales.objects.select_related("sku")
    serializer_class = EarlierSerializer
    filterset_class = EarlierFilters
    orderings = {"id": "pk", "month": "month", "sku": "sku__code"}
    default_ordering = "month"
    make = staticmethod(earlier_sales.make_month)
    change = staticmethod(earlier_sales.change_month)
    called = "entry"


class PairSerializer(Told):
    """A front and the rear that goes out with it."""

    front_code = serializers.CharField(source="front.code", read_only=True)
    rear_code = serializers.CharField(source="rear.code", read_only=True)

    class Meta:
        model = SkuPair
        fields = ("id", "front", "front_code", "rear", "rear_code", "in_sets", "source")


class PairFilters(FilterSet):
    front = RowFilter(Sku)
    rear = RowFilter(Sku)


class Pairs(Kept):
    """Fronts with their rears."""

    queryset = SkuPair.objects.select_related("front", "rear")
    serializer_class = PairSerializer
    filterset_class = PairFilters
    orderings = {"id": "pk", "front": "front__code"}
    default_ordering = "front"
    make = staticmethod(earlier_sales.make_pair)
    change = staticmethod(earlier_sales.change_pair)
    called = "pair"


class OverrideFilters(FilterSet):
    alert = RowFilter(Alert)


class Overrides(Listed):
    """The buyers' own numbers, the latest first."""

    queryset = AlertOverride.objects.select_related("made_by")
    serializer_class = OverrideRowSerializer
    filterset_class = OverrideFilters
    orderings = {"id": "pk"}
    default_ordering = "-id"
