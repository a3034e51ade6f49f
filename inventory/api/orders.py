"""Orders of customers over the API: taken, added to, changed, cancelled, closed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.serializers import Serializer

from inventory.activities import ordering
from inventory.api.acting import Acting, Nothing
from inventory.api.holds import ReasonSerializer
from inventory.api.order_rows import (
    AddSerializer,
    OrderHeadSerializer,
    OrderLineSerializer,
    OrderSerializer,
    QuantitySerializer,
    TakeOrderSerializer,
    told,
)
from inventory.api.promised import OfCustomer
from inventory.ground.idempotency import once
from inventory.ground.rest.filtering import (
    FilterSet,
    IsoDateFilter,
    RowFilter,
    WordsFilter,
    filters,
)
from inventory.ground.rest.serializers import given
from inventory.models.sale import Asks, Order, OrderLine, OrderState
from inventory.models.sku import Sku

MAY_CHANGE = {"POST": ["inventory.change_order"]}


class OrderFilters(OfCustomer):
    state = filters.ChoiceFilter(choices=OrderState.choices)
    sku = RowFilter(Sku, field_name="lines__sku", distinct=True)
    wanted_by = IsoDateFilter("wanted_on", "lte")
    q = WordsFilter("reference", "note", "customer__name")


class Steps(Acting):
    """Steps whose values are read as an order's are."""

    def step(
        self, request: Request, work: Callable[..., Any], body: type[Serializer[Any]] = Nothing
    ) -> Response:
        """Do one step with what was sent, and answer with the row as it is now."""
        found = self.get_object()
        values = told(given(body(data=request.data)))
        work(**{self.called: found}, by=request.user, at=timezone.now(), **values)
        return self.told(self.again(found))


class Orders(Steps):
    """What customers ordered, newest first."""

    queryset = Order.objects.select_related("customer", "made_by", "ended_by").prefetch_related(
        "lines"
    )
    serializer_class = OrderSerializer
    filterset_class = OrderFilters
    orderings = {"id": "pk", "made_at": "made_at"}
    default_ordering = "-id"
    called = "order"

    @extend_schema(request=TakeOrderSerializer, responses={201: OrderSerializer})
    @once
    def create(self, request: Request) -> Response:
        """Take an order: sets and pieces, what is held, what was quoted; all of it or nothing."""
        values = told(given(TakeOrderSerializer(data=request.data)))
        made = ordering.take_order(by=request.user, at=timezone.now(), **values)  # type: ignore[arg-type]
        return self.entered(request, made)

    @extend_schema(request=OrderHeadSerializer, responses=OrderSerializer)
    @once
    def partial_update(self, request: Request, pk: str) -> Response:
        """Change what is given of the head."""
        return self.step(request, ordering.change_order, OrderHeadSerializer)

    @extend_schema(request=AddSerializer, responses=OrderSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_CHANGE)
    @once
    def lines(self, request: Request, pk: str) -> Response:
        """Add to it."""
        return self.step(request, ordering.add_lines, AddSerializer)

    @extend_schema(request=ReasonSerializer, responses=OrderSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_CHANGE)
    @once
    def cancel(self, request: Request, pk: str) -> Response:
        """Cancel an order of which nothing has left."""
        return self.step(request, ordering.cancel_order, ReasonSerializer)

    @extend_schema(request=ReasonSerializer, responses=OrderSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_CHANGE)
    @once
    def close(self, request: Request, pk: str) -> Response:
        """Close an order of which a part has left; the rest is given up."""
        return self.step(request, ordering.close_order, ReasonSerializer)


class OrderLineFilters(FilterSet):
    order = RowFilter(Order)
    sku = RowFilter(Sku)
    asks = filters.ChoiceFilter(choices=Asks.choices)
    cancelled = filters.BooleanFilter()


class OrderLines(Steps):
    """Lines of orders; they are added through their order."""

    queryset = OrderLine.objects.all()
    serializer_class = OrderLineSerializer
    filterset_class = OrderLineFilters
    called = "line"

    @extend_schema(request=QuantitySerializer, responses=OrderLineSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_CHANGE)
    @once
    def change(self, request: Request, pk: str) -> Response:
        """So many are wanted now."""
        return self.step(request, ordering.change_line, QuantitySerializer)

    @extend_schema(request=None, responses=OrderLineSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_CHANGE)
    @once
    def hold(self, request: Request, pk: str) -> Response:
        """Hold what is still missing of it, as much as there is."""
        return self.step(request, ordering.hold_line)

    @extend_schema(request=ReasonSerializer, responses=OrderLineSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_CHANGE)
    @once
    def cancel(self, request: Request, pk: str) -> Response:
        """Give up what has not left of it."""
        return self.step(request, ordering.cancel_line, ReasonSerializer)
