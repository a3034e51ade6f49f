"""Transfers between sites over the API: sent, booked in by scan or by numbers, ended short."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.activities import transferring
from inventory.api.acting import Acting, Nothing
from inventory.api.transfer_rows import (
    ArrivalSerializer,
    EndSerializer,
    ScanArrivalSerializer,
    TransferSerializer,
)
from inventory.ground.idempotency import once
from inventory.ground.rest.filtering import FilterSet, RowFilter, filters
from inventory.ground.rest.serializers import given
from inventory.models.outing import Outing
from inventory.models.place import Site
from inventory.models.transfer import Transfer, TransferState

MAY_BOOK = {"POST": ["inventory.change_transfer"]}


class TransferFilters(FilterSet):
    from_site = RowFilter(Site)
    to_site = RowFilter(Site)
    outing = RowFilter(Outing)
    state = filters.ChoiceFilter(choices=TransferState.choices)


class Transfers(Acting):
    """Loads between sites, newest first."""

    queryset = Transfer.objects.select_related(
        "sent_by", "at_work_by", "ended_by"
    ).prefetch_related("lines__lot")
    serializer_class = TransferSerializer
    filterset_class = TransferFilters
    orderings = {"id": "pk", "sent_at": "sent_at"}
    default_ordering = "-id"
    called = "transfer"

    @once
    def create(self, request: Request) -> Response:
        """Send free tyres from one site to another; until they arrive they are in transit."""
        values = given(self.get_serializer(data=request.data))
        loads = [transferring.Load(**load) for load in values.pop("loads")]
        by, at = request.user, timezone.now()
        sent = transferring.send_off(loads=loads, by=by, at=at, **values)  # type: ignore[arg-type]
        address = request.build_absolute_uri(f"{request.path.rstrip('/')}/{sent.pk}/")
        return self.told(self.again(sent), 201, Location=address)

    @extend_schema(request=ArrivalSerializer, responses=TransferSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_BOOK)
    @once
    def arrival(self, request: Request, pk: str) -> Response:
        """Book in what arrived; what did not come stays on the way."""
        values = given(ArrivalSerializer(data=request.data))
        came: dict[int, int] = {}
        for one in values.pop("came"):
            came[one["lot"].pk] = came.get(one["lot"].pk, 0) + one["quantity"]
        by: Any = request.user
        transfer = transferring.book_arrival(
            transfer=self.get_object(), came=came, by=by, at=timezone.now(), **values
        )
        return self.told(self.again(transfer))

    @extend_schema(request=ScanArrivalSerializer, responses=TransferSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_BOOK)
    @once
    def scan(self, request: Request, pk: str) -> Response:
        """Book in what was scanned, into its place."""
        return self.step(request, transferring.scan_arrival, ScanArrivalSerializer)

    @extend_schema(request=Nothing, responses=TransferSerializer)
    @action(detail=True, methods=["post"], url_path="take-up", required_permissions=MAY_BOOK)
    @once
    def take_up(self, request: Request, pk: str) -> Response:
        """Go on with an arrival that somebody else began."""
        return self.step(request, transferring.take_up)

    @extend_schema(request=EndSerializer, responses=TransferSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_BOOK)
    @once
    def end(self, request: Request, pk: str) -> Response:
        """End it short: the rest was left behind, or is written off, by another person if many."""
        return self.step(request, transferring.end_short, EndSerializer)
