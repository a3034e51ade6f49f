"""Purchase orders over the API: drafted, filled, sent, changed, ended."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.activities import purchasing
from inventory.api.acting import Acting, SeenSerializer, WhySerializer, row
from inventory.ground.idempotency import once
from inventory.ground.rest.filtering import (
    FilterSet,
    IsoDateFilter,
    RowFilter,
    WordsFilter,
    filters,
)
from inventory.ground.rest.serializers import Told
from inventory.ground.rest.views import Entered, Listed
from inventory.models.purchase import OPEN, PurchaseLine, PurchaseOrder, PurchaseState
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier
from inventory.models.supplier_terms import ProductionBatch


class PurchaseLineSerializer(Told):
    """So many of a SKU on an order; `to_come` is what is left of `quantity`."""

    sku_code = serializers.CharField(source="sku.code", read_only=True)
    to_come = serializers.IntegerField(read_only=True)

    class Meta:
        model = PurchaseLine
        fields = (
            *("id", "order", "sku", "sku_code", "quantity", "unit_price", "expected_on"),
            *("oldest_months", "received", "disputed", "waived", "over", "to_come"),
        )


class PurchaseOrderSerializer(Told):
    """One order to a supplier; `version` goes up with every change and every receipt."""

    number = serializers.CharField(read_only=True)
    supplier_name = serializers.CharField(source="supplier.name", read_only=True)
    made_by = serializers.CharField(source="made_by.username", read_only=True)
    sent_by = serializers.CharField(
        source="sent_by.username", read_only=True, default=None, allow_null=True
    )
    ended_by = serializers.CharField(
        source="ended_by.username", read_only=True, default=None, allow_null=True
    )
    lines = PurchaseLineSerializer(many=True, read_only=True)

    class Meta:
        model = PurchaseOrder
        fields = (
            *("id", "number", "supplier", "supplier_name", "batch", "deliver_to"),
            *("their_reference", "currency", "note", "state", "version", "made_at", "made_by"),
            *("sent_at", "sent_by", "ended_at", "ended_by", "ended_why", "lines"),
        )
        read_only_fields = (*("state", "version", "made_at", "sent_at", "ended_at", "ended_why"),)


class HeadSerializer(SeenSerializer):
    """What is changed over the lines."""

    batch = row(ProductionBatch, required=False, allow_null=True)
    their_reference = serializers.CharField(max_length=60, allow_blank=True, required=False)
    currency = serializers.CharField(max_length=3, required=False)
    note = serializers.CharField(max_length=500, allow_blank=True, required=False)


class SetLineSerializer(SeenSerializer):
    """How many of a SKU; what is left out of a new line follows from the supplier's terms."""

    sku = row(Sku)
    quantity = serializers.IntegerField()
    unit_price = serializers.DecimalField(9, 2, required=False, allow_null=True)
    expected_on = serializers.DateField(required=False, allow_null=True)
    oldest_months = serializers.IntegerField(required=False, allow_null=True, min_value=1)


class DropLineSerializer(SeenSerializer):
    """Which SKU is taken off."""

    sku = row(Sku)


class SendSerializer(SeenSerializer):
    """With whom it was agreed, where it is not on the supplier's terms."""

    agreed = serializers.CharField(max_length=200, allow_blank=True, required=False)


class PurchaseOrderFilters(FilterSet):
    supplier = RowFilter(Supplier)
    batch = RowFilter(ProductionBatch)
    state = filters.ChoiceFilter(choices=PurchaseState.choices)
    open = filters.BooleanFilter(method="is_open", help_text="Sent, and not all of it has come")
    sku = RowFilter(Sku, field_name="lines__sku")
    sent_from = IsoDateFilter("sent_at", "date__gte")
    q = WordsFilter("their_reference", "supplier__name", "note")

    def is_open(self, rows: Any, name: str, value: bool) -> Any:
        """Those that goods are waited for, or the others."""
        return rows.filter(state__in=OPEN) if value else rows.exclude(state__in=OPEN)


MAY_CHANGE = {"POST": ["inventory.change_purchaseorder"]}


class PurchaseOrders(Entered, Acting):
    """Orders to suppliers, newest first."""

    queryset = PurchaseOrder.objects.select_related(
        "supplier", "made_by", "sent_by", "ended_by"
    ).prefetch_related("lines__sku")
    serializer_class = PurchaseOrderSerializer
    filterset_class = PurchaseOrderFilters
    orderings = {"id": "pk", "supplier": "supplier__name", "made_at": "made_at"}
    default_ordering = "-id"
    make = staticmethod(purchasing.draft)
    called = "order"

    @extend_schema(request=HeadSerializer, responses=PurchaseOrderSerializer)
    @once
    def partial_update(self, request: Request, pk: str) -> Response:
        """Change the head; of an order that is sent only its notes and references."""
        return self.step(request, purchasing.change_order, HeadSerializer)

    @extend_schema(request=SetLineSerializer, responses=PurchaseOrderSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_CHANGE)
    @once
    def lines(self, request: Request, pk: str) -> Response:
        """Say how many of a SKU it is for: a new line, or the one that is there, changed."""
        return self.step(request, purchasing.set_line, SetLineSerializer)

    @extend_schema(request=DropLineSerializer, responses=PurchaseOrderSerializer)
    @action(detail=True, methods=["post"], url_path="drop-line", required_permissions=MAY_CHANGE)
    @once
    def drop_line(self, request: Request, pk: str) -> Response:
        """Take a SKU off; once it is sent, what is still to come of it will not come."""
        return self.step(request, purchasing.drop_line, DropLineSerializer)

    @extend_schema(request=SendSerializer, responses=PurchaseOrderSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_CHANGE)
    @once
    def send(self, request: Request, pk: str) -> Response:
        """Send a draft to its supplier: from now on its lines are expected."""
        return self.step(request, purchasing.send, SendSerializer)

    @extend_schema(request=WhySerializer, responses=PurchaseOrderSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_CHANGE)
    @once
    def cancel(self, request: Request, pk: str) -> Response:
        """Cancel an order of which nothing has come."""
        return self.step(request, purchasing.cancel, WhySerializer)

    @extend_schema(request=WhySerializer, responses=PurchaseOrderSerializer)
    @action(detail=True, methods=["post"], url_path="give-up-rest", required_permissions=MAY_CHANGE)
    @once
    def give_up_rest(self, request: Request, pk: str) -> Response:
        """Wait no longer for what is still to come."""
        return self.step(request, purchasing.give_up_rest, WhySerializer)


class PurchaseLineFilters(FilterSet):
    order = RowFilter(PurchaseOrder)
    sku = RowFilter(Sku)
    open = filters.BooleanFilter(method="is_open", help_text="On an order that goods are waited of")

    def is_open(self, rows: Any, name: str, value: bool) -> Any:
        """Lines of orders that goods are waited of, or the others."""
        told = {"order__state__in": OPEN}
        return rows.filter(**told) if value else rows.exclude(**told)


class PurchaseLines(Listed):
    """Lines of purchase orders; they are written through their order."""

    queryset = PurchaseLine.objects.select_related("sku")
    serializer_class = PurchaseLineSerializer
    filterset_class = PurchaseLineFilters
    orderings = {"id": "pk", "sku": "sku__code"}
