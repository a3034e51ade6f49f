"""Picking over the API, up to the despatch: each step one call, safe to repeat."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.activities import despatching, picking
from inventory.api.acting import Acting
from inventory.api.despatches import Despatches, DespatchSerializer
from inventory.api.holds import ReasonSerializer
from inventory.api.pick_rows import (
    CarrierSerializer,
    LeaveOutSerializer,
    LeavingSerializer,
    OtherSerializer,
    PackSerializer,
    PickLineSerializer,
    PickListSerializer,
    PickSerializer,
    ScanSerializer,
    ShortSerializer,
)
from inventory.ground.idempotency import once
from inventory.ground.rest.filtering import FilterSet, RowFilter, filters
from inventory.ground.rest.serializers import given
from inventory.ground.rest.views import Entered, Listed
from inventory.models.lot import Lot
from inventory.models.pick import Confirmed, PickLine, PickLineState, PickList, PickListState
from inventory.models.place import Place
from inventory.models.sale import Order

MAY_PICK = {"POST": ["inventory.change_picklist"]}


class PickListFilters(FilterSet):
    order = RowFilter(Order)
    to_place = RowFilter(Place)
    state = filters.ChoiceFilter(choices=PickListState.choices)


class NotThatLot(picking.NotRead):
    """Another lot was scanned than the line asks for."""

    def __init__(self, line: PickLine, lot: Lot) -> None:
        super().__init__(
            lot.code, f"the line asks for {line.lot}; if it is taken instead, say so by `other`"
        )


class PickLists(Entered, Acting):
    """Rounds through the racks, newest first."""

    queryset = PickList.objects.select_related(
        "made_by", "packed_by", "ended_by", "word_by"
    ).prefetch_related("lines__lot", "lines__place", "lines__picked_by")
    serializer_class = PickListSerializer
    filterset_class = PickListFilters
    orderings = {"id": "pk", "made_at": "made_at"}
    default_ordering = "-id"
    make = staticmethod(picking.make_list)
    called = "pick_list"

    @extend_schema(request=ScanSerializer, responses=PickListSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_PICK)
    @once
    def scan(self, request: Request, pk: str) -> Response:
        """Take a line by what was scanned, if that is what it asks for."""
        found, told = self.get_object(), given(ScanSerializer(data=request.data))
        line = told["line"]
        read = picking.scanned_for(line, told["scanned"])
        if not read.asked:
            raise NotThatLot(line, read.lot)
        by: Any = request.user
        picking.pick(pick_list=found, line=line, confirmed=Confirmed.SCAN, by=by, at=timezone.now())
        return self.told(self.again(found))

    @extend_schema(request=PickSerializer, responses=PickListSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_PICK)
    @once
    def pick(self, request: Request, pk: str) -> Response:
        """Take what a line asks for."""
        return self.step(request, picking.pick, PickSerializer)

    @extend_schema(request=OtherSerializer, responses=PickListSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_PICK)
    @once
    def other(self, request: Request, pk: str) -> Response:
        """Take another lot, if the set still matches as it was promised."""
        return self.step(request, picking.take_other, OtherSerializer)

    @extend_schema(request=ShortSerializer, responses=PickListSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_PICK)
    @once
    def short(self, request: Request, pk: str) -> Response:
        """Take what is there, and have the rest chosen again."""
        return self.step(request, picking.short, ShortSerializer)

    @extend_schema(request=PackSerializer, responses=PickListSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_PICK)
    @once
    def pack(self, request: Request, pk: str) -> Response:
        """Say that all of it is packed."""
        return self.step(request, picking.pack, PackSerializer)

    @extend_schema(request=LeaveOutSerializer, responses=PickListSerializer)
    @action(detail=True, methods=["post"], url_path="leave-out", required_permissions=MAY_PICK)
    @once
    def leave_out(self, request: Request, pk: str) -> Response:
        """Leave a set out that cannot be had."""
        return self.step(request, picking.leave_out, LeaveOutSerializer)

    @extend_schema(request=ReasonSerializer, responses=PickListSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_PICK)
    @once
    def cancel(self, request: Request, pk: str) -> Response:
        """Give the list up: all goes back to its racks and stays held."""
        return self.step(request, picking.cancel_list, ReasonSerializer)

    @extend_schema(responses=LeavingSerializer(many=True))
    @action(detail=True, methods=["get"], pagination_class=None, filter_backends=())
    def leaving(self, request: Request, pk: str) -> Response:
        """What would leave now, and whether it may."""
        sets = despatching.leaving(self.get_object(), at=timezone.now())
        return Response(LeavingSerializer(sets, many=True).data)

    @extend_schema(request=ReasonSerializer, responses=PickListSerializer)
    @action(
        detail=True, methods=["post"], required_permissions={"POST": ["inventory.word_despatch"]}
    )
    @once
    def word(self, request: Request, pk: str) -> Response:
        """The owner's word that it leaves against advice."""
        return self.step(request, despatching.give_word, ReasonSerializer)

    @extend_schema(request=CarrierSerializer, responses={201: DespatchSerializer})
    @action(
        detail=True, methods=["post"], required_permissions={"POST": ["inventory.add_despatch"]}
    )
    @once
    def send(self, request: Request, pk: str) -> Response:
        """It leaves: booked out, with what was known of it."""
        told, by = given(CarrierSerializer(data=request.data)), request.user
        sent = despatching.despatch(
            pick_list=self.get_object(), by=by, at=timezone.now(), **told  # type: ignore[arg-type]
        )  # fmt: skip
        made = Despatches.queryset.get(pk=sent.pk)
        address = request.build_absolute_uri(f"/api/v1/despatches/{sent.pk}/")
        return Response(DespatchSerializer(made).data, 201, headers={"Location": address})


class PickLineFilters(FilterSet):
    pick_list = RowFilter(PickList)
    lot = RowFilter(Lot)
    state = filters.ChoiceFilter(choices=PickLineState.choices)


class PickLines(Listed):
    """Lines of pick lists; they are made with their list."""

    queryset = PickLine.objects.select_related("lot", "place", "picked_by")
    serializer_class = PickLineSerializer
    filterset_class = PickLineFilters
