"""Deliveries over the API: opened, read line by line, taken up by others, booked as a whole."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.activities import receiving
from inventory.api.acting import Acting, Nothing, SeenSerializer
from inventory.api.delivery_rows import (
    DeliveryLineSerializer,
    DeliverySerializer,
    EnterLineSerializer,
    GiveUpSerializer,
    NoteSaysSerializer,
)
from inventory.ground.idempotency import once
from inventory.ground.rest.filtering import FilterSet, RowFilter, WordsFilter, filters
from inventory.ground.rest.serializers import given
from inventory.ground.rest.views import Kept, Listed
from inventory.models.delivery import Delivery, DeliveryLine, DeliveryState, Disagreement
from inventory.models.lot import Lot
from inventory.models.purchase import PurchaseOrder
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier


class DeliveryFilters(FilterSet):
    supplier = RowFilter(Supplier)
    order = RowFilter(PurchaseOrder)
    state = filters.ChoiceFilter(choices=DeliveryState.choices)
    note_number = filters.CharFilter(lookup_expr="iexact", max_length=40)
    q = WordsFilter("note_number", "supplier__name")


MAY_BOOK = {"POST": ["inventory.change_delivery"]}


class Deliveries(Kept, Acting):
    """What lorries brought, newest first."""

    queryset = Delivery.objects.select_related(
        "supplier", "opened_by", "at_work_by", "ended_by"
    ).prefetch_related("note_lines")
    serializer_class = DeliverySerializer
    filterset_class = DeliveryFilters
    orderings = {"id": "pk", "arrived_on": "arrived_on"}
    default_ordering = "-id"
    make = staticmethod(receiving.open_delivery)
    change = staticmethod(receiving.change_delivery)
    called = "delivery"

    @extend_schema(request=EnterLineSerializer, responses={201: DeliveryLineSerializer})
    @action(detail=True, methods=["post"], required_permissions=MAY_BOOK)
    @once
    def lines(self, request: Request, pk: str) -> Response:
        """Enter what was read on a tyre, or on a run of tyres that read alike."""
        values: dict[str, Any] = given(EnterLineSerializer(data=request.data))
        values |= {"delivery": self.get_object(), "by": request.user}
        entered = receiving.enter_line(at=timezone.now(), **values)
        row = DeliveryLines.queryset.get(pk=entered.line.pk)
        told = {**DeliveryLineSerializer(row).data, "warnings": list(entered.warnings)}
        address = request.build_absolute_uri(f"/api/v1/delivery-lines/{row.pk}/")
        return Response(told, 201, headers={"Location": address})

    @extend_schema(request=NoteSaysSerializer, responses=DeliverySerializer)
    @action(detail=True, methods=["post"], url_path="note-says", required_permissions=MAY_BOOK)
    @once
    def note_says(self, request: Request, pk: str) -> Response:
        """Say how many of a SKU the delivery note says were brought."""
        return self.step(request, receiving.note_says, NoteSaysSerializer)

    @extend_schema(request=None, responses=DeliverySerializer)
    @action(detail=True, methods=["post"], url_path="take-up", required_permissions=MAY_BOOK)
    @once
    def take_up(self, request: Request, pk: str) -> Response:
        """Take a half-finished booking in hand."""
        return self.step(request, receiving.take_up, Nothing)

    @extend_schema(request=SeenSerializer, responses=DeliverySerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_BOOK)
    @once
    def finish(self, request: Request, pk: str) -> Response:
        """Book all of it: stock, order and complaints. `seen` is the version of the order."""
        return self.step(request, receiving.finish, SeenSerializer)

    @extend_schema(request=GiveUpSerializer, responses=DeliverySerializer)
    @action(detail=True, methods=["post"], url_path="give-up", required_permissions=MAY_BOOK)
    @once
    def give_up(self, request: Request, pk: str) -> Response:
        """Give the booking up: nothing of it reaches stock."""
        return self.step(request, receiving.give_up, GiveUpSerializer)


class DeliveryLineFilters(FilterSet):
    delivery = RowFilter(Delivery)
    sku = RowFilter(Sku)
    lot = RowFilter(Lot)
    disagrees = filters.ChoiceFilter(choices=Disagreement.choices)


class DeliveryLines(Listed):
    """What was read, tyre by tyre; entered through the delivery."""

    queryset = DeliveryLine.objects.select_related("sku", "entered_by")
    serializer_class = DeliveryLineSerializer
    filterset_class = DeliveryLineFilters

    @once
    def destroy(self, request: Request, pk: str) -> Response:
        """Take a line out of a delivery that is still being booked in."""
        line = self.get_object()
        by: Any = request.user
        receiving.strike_line(delivery=line.delivery, line=line.pk, by=by, at=timezone.now())
        return Response(status=204)
