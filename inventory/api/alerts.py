"""Alerts over the API: what will run out, what grows old, and what the buyer says to it."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.activities import alerting
from inventory.api.acting import Acting, Nothing
from inventory.ground.idempotency import once
from inventory.ground.rest.filtering import FilterSet, IsoDateFilter, RowFilter, filters
from inventory.ground.rest.serializers import Strict, Told
from inventory.models.alert import CAUSES, AgeingAlert, Alert, AlertOverride, Suggestion
from inventory.models.season import Category
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier

STANDING = (
    *("raised_at", "seen_at", "ended_at", "sentence", "told", "acknowledged_at"),
    *("acknowledged_by", "left_until", "left_why", "left_at", "left_by"),
)


def _who(field: str) -> Any:
    return serializers.CharField(
        source=f"{field}.username", read_only=True, default=None, allow_null=True
    )


class AlertSerializer(Told):
    """One SKU whose stock may not last; `told` has every number behind the sentence."""

    sku_code = serializers.CharField(source="sku.code", read_only=True)
    acknowledged_by = _who("acknowledged_by")
    left_by = _who("left_by")

    class Meta:
        model = Alert
        fields = (
            *("id", "sku", "sku_code", "category", "cause", "supplier", "batch", "first_risk"),
            *("order_by", "free", "need", "pieces", "cost", "currency"),
            *STANDING,
        )


class LeaveSerializer(Strict):
    """Until which day, and why."""

    until = serializers.DateField()
    why = serializers.CharField(max_length=240)


class OverrideSerializer(Strict):
    """How many instead; null: the tool's own number again."""

    pieces = serializers.IntegerField(allow_null=True)
    why = serializers.CharField(max_length=240)


class StandingFilters(FilterSet):
    standing = filters.BooleanFilter("ended_at", "isnull")
    left = filters.BooleanFilter(method="is_left")
    seen_to = filters.BooleanFilter("acknowledged_at", "isnull", exclude=True)

    def is_left(self, rows: Any, name: str, value: bool) -> Any:
        """Left until a day that is still to come, or not."""
        later = {"left_until__gt": timezone.localdate()}
        return rows.filter(**later) if value else rows.exclude(**later)


class AlertFilters(StandingFilters):
    sku = RowFilter(Sku)
    supplier = RowFilter(Supplier)
    cause = filters.ChoiceFilter(choices=CAUSES)
    category = filters.ChoiceFilter(choices=Category.choices)
    by_day = IsoDateFilter("order_by", "lte")


MAY_ANSWER = {"POST": ["inventory.change_alert"]}
MAY_OVERRIDE = {"POST": ["inventory.add_alertoverride"]}


class Alerts(Acting):
    """Reorder alerts, by the day to order; they are found by the night's job."""

    queryset = Alert.objects.select_related("sku", "acknowledged_by", "left_by")
    serializer_class = AlertSerializer
    filterset_class = AlertFilters
    orderings = {"id": "pk", "risk": "first_risk", "sku": "sku__code", "pieces": "pieces"}
    default_ordering = "risk"
    called = "alert"

    @extend_schema(request=None, responses=AlertSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_ANSWER)
    @once
    def acknowledge(self, request: Request, pk: str) -> Response:
        """Say that somebody sees to it."""
        return self.step(request, alerting.acknowledge, Nothing)

    @extend_schema(request=LeaveSerializer, responses=AlertSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_ANSWER)
    @once
    def leave(self, request: Request, pk: str) -> Response:
        """Leave it until a day."""
        return self.step(request, alerting.leave, LeaveSerializer)

    @extend_schema(request=OverrideSerializer, responses=AlertSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_OVERRIDE)
    @once
    def override(self, request: Request, pk: str) -> Response:
        """Order another number, with the reason."""
        return self.step(request, alerting.override, OverrideSerializer)


class AgeingSerializer(Told):
    """One lot that crosses the house's limit before it is likely to be sold, or has."""

    lot_code = serializers.CharField(source="lot.code", read_only=True)
    acknowledged_by = _who("acknowledged_by")
    left_by = _who("left_by")

    class Meta:
        model = AgeingAlert
        fields = (
            *("id", "lot", "lot_code", "crosses_on", "pieces", "expected_left", "money"),
            *("currency", "suggestion"),
            *STANDING,
        )


class AgeingFilters(StandingFilters):
    sku = filters.ModelChoiceFilter(field_name="lot__sku", queryset=Sku.objects.all())
    suggestion = filters.ChoiceFilter(choices=Suggestion.choices)
    by_day = IsoDateFilter("crosses_on", "lte")


MAY_ANSWER_AGEING = {"POST": ["inventory.change_ageingalert"]}


class AgeingAlerts(Acting):
    """Ageing alerts, by the day on which the limit is crossed."""

    queryset = AgeingAlert.objects.select_related("lot", "acknowledged_by", "left_by")
    serializer_class = AgeingSerializer
    filterset_class = AgeingFilters
    orderings = {"id": "pk", "day": "crosses_on", "pieces": "pieces"}
    default_ordering = "day"
    called = "alert"

    @extend_schema(request=None, responses=AgeingSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_ANSWER_AGEING)
    @once
    def acknowledge(self, request: Request, pk: str) -> Response:
        """Say that somebody sees to it."""
        return self.step(request, alerting.acknowledge, Nothing)

    @extend_schema(request=LeaveSerializer, responses=AgeingSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_ANSWER_AGEING)
    @once
    def leave(self, request: Request, pk: str) -> Response:
        """Leave it until a day."""
        return self.step(request, alerting.leave, LeaveSerializer)


class OverrideRowSerializer(Told):
    """A number of the buyer's own beside the tool's; the last of an alert counts."""

    made_by = _who("made_by")

    class Meta:
        model = AlertOverride
        fields = ("id", "alert", "pieces", "tool_pieces", "why", "made_at", "made_by")
