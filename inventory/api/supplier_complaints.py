"""Complaints to suppliers over the API, followed to their end."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.activities import receiving, settling
from inventory.api.acting import Acting, Nothing, row
from inventory.ground.idempotency import once
from inventory.ground.rest.filtering import FilterSet, RowFilter, filters
from inventory.ground.rest.serializers import Strict, Told, given
from inventory.models.delivery import Delivery, Disagreement
from inventory.models.lot import Lot
from inventory.models.place import Place
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier
from inventory.models.supplier_complaint import (
    Settlement,
    SupplierComplaint,
    SupplierComplaintState,
)


class SupplierComplaintSerializer(Told):
    """Tyres that are not what was ordered; `lot` is null where they did not come at all."""

    number = serializers.CharField(read_only=True)
    sku_code = serializers.CharField(source="sku.code", read_only=True)
    opened_by = serializers.CharField(source="opened_by.username", read_only=True)
    sent_by = serializers.CharField(
        source="sent_by.username", read_only=True, default=None, allow_null=True
    )
    settled_by = serializers.CharField(
        source="settled_by.username", read_only=True, default=None, allow_null=True
    )

    class Meta:
        model = SupplierComplaint
        fields = (
            *("id", "number", "supplier", "delivery", "delivery_line", "order_line", "sku"),
            *("sku_code", "lot", "reason", "quantity", "disputes", "says", "state", "opened_at"),
            *("opened_by", "sent_at", "sent_by", "their_reference", "settled_at", "settled_by"),
            *("settlement", "credit", "answer", "sent_back", "quarantine"),
        )


class OpenComplaintSerializer(Strict):
    """What was found on the shelf; `place` where the lot lies in several, `supplier` where no
    delivery of the house tells who brought it.
    """

    lot = row(Lot)
    quantity = serializers.IntegerField()
    reason = serializers.CharField(max_length=40)
    says = serializers.CharField(max_length=2000)
    place = row(Place, required=False, allow_null=True)
    supplier = row(Supplier, required=False, allow_null=True)


class SendComplaintSerializer(Strict):
    """Under what reference the supplier has it."""

    their_reference = serializers.CharField(max_length=60, allow_blank=True, required=False)


class SettleSerializer(Strict):
    """What the supplier answered; `credit` is noted in the currency of the order."""

    settlement = serializers.ChoiceField(Settlement.choices)
    answer = serializers.CharField(max_length=2000)
    credit = serializers.DecimalField(9, 2, required=False, allow_null=True)


class SupplierComplaintFilters(FilterSet):
    supplier = RowFilter(Supplier)
    delivery = RowFilter(Delivery)
    sku = RowFilter(Sku)
    lot = RowFilter(Lot)
    state = filters.ChoiceFilter(choices=SupplierComplaintState.choices)
    reason = filters.ChoiceFilter(choices=Disagreement.choices)
    settlement = filters.ChoiceFilter(choices=Settlement.choices)
    settled = filters.BooleanFilter(method="is_settled")

    def is_settled(self, rows: Any, name: str, value: bool) -> Any:
        """Those that have come to their end, or the others."""
        return rows.filter(state=SupplierComplaintState.SETTLED) if value else rows.unsettled()


MAY_FOLLOW = {"POST": ["inventory.change_suppliercomplaint"]}
# What is put on the lorry is the warehouse's business too.
MAY_SEND_BACK = {"POST": ["inventory.add_posting"]}


class SupplierComplaints(Acting):
    """Complaints to suppliers, newest first; opened by what a delivery comes to, or by hand."""

    queryset = SupplierComplaint.objects.select_related("sku", "opened_by", "sent_by", "settled_by")
    serializer_class = SupplierComplaintSerializer
    filterset_class = SupplierComplaintFilters
    orderings = {"id": "pk", "opened_at": "opened_at"}
    default_ordering = "-id"
    called = "complaint"

    @extend_schema(request=OpenComplaintSerializer, responses={201: SupplierComplaintSerializer})
    @once
    def create(self, request: Request) -> Response:
        """Complain of tyres of a lot that was received before: they go to quarantine."""
        values: dict[str, Any] = given(OpenComplaintSerializer(data=request.data))
        values |= {"by": request.user, "at": timezone.now()}
        opened = receiving.open_complaint(**values)
        return self.entered(request, opened)

    @extend_schema(request=SendComplaintSerializer, responses=SupplierComplaintSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_FOLLOW)
    @once
    def send(self, request: Request, pk: str) -> Response:
        """Say that the supplier has it."""
        return self.step(request, settling.send_complaint, SendComplaintSerializer)

    @extend_schema(request=SettleSerializer, responses=SupplierComplaintSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_FOLLOW)
    @once
    def settle(self, request: Request, pk: str) -> Response:
        """Settle it: credit, replacement, or accepted after all."""
        return self.step(request, settling.settle, SettleSerializer)

    @extend_schema(request=None, responses=SupplierComplaintSerializer)
    @action(detail=True, methods=["post"], url_path="send-back", required_permissions=MAY_SEND_BACK)
    @once
    def send_back(self, request: Request, pk: str) -> Response:
        """Book its tyres out of quarantine: they go back to the supplier."""
        return self.step(request, settling.send_back, Nothing)
