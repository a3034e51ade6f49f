"""Putting away and transfers between sites over the API."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.activities import putting_away, transferring
from inventory.api.acting import Acting, row
from inventory.api.movements import Booking
from inventory.ground.idempotency import once
from inventory.ground.rest.filtering import FilterSet, RowFilter, filters
from inventory.ground.rest.serializers import Strict, Told, given
from inventory.models.lot import Lot
from inventory.models.place import Place, Site
from inventory.models.transfer import Transfer, TransferLine, TransferState

MOST_LOADS = 500


class PutAwaySerializer(Strict):
    """So many of a lot into a rack. `they_fit`: somebody looked, whatever the room says."""

    lot = row(Lot)
    source = row(Place)  # type: ignore[assignment]
    target = row(Place)
    quantity = serializers.IntegerField()
    they_fit = serializers.BooleanField(default=False)


class PutAway(Booking):
    """Put tyres away, if the place has room for them."""

    serializer_class = PutAwaySerializer
    book = staticmethod(putting_away.put_away)


class TransferLineSerializer(serializers.ModelSerializer[Any]):
    """So many of a lot that were sent, and how many of them have arrived."""

    lot_code = serializers.CharField(source="lot.code", read_only=True)

    class Meta:
        model = TransferLine
        fields = ("lot", "lot_code", "quantity", "arrived")


class LoadSerializer(Strict):
    """So many of a lot, from a place of the site that sends."""

    lot = row(Lot)
    source = row(Place)  # type: ignore[assignment]
    quantity = serializers.IntegerField()


class TransferSerializer(Told):
    """One load between two sites."""

    number = serializers.CharField(read_only=True)
    sent_by = serializers.CharField(source="sent_by.username", read_only=True)
    ended_by = serializers.CharField(
        source="ended_by.username", read_only=True, default=None, allow_null=True
    )
    loads = LoadSerializer(many=True, write_only=True, allow_empty=False, max_length=MOST_LOADS)  # type: ignore[call-arg]
    lines = TransferLineSerializer(many=True, read_only=True)

    class Meta:
        model = Transfer
        fields = (
            *("id", "number", "from_site", "to_site", "through", "carrier", "note", "state"),
            *("sent_at", "sent_by", "ended_at", "ended_by", "loads", "lines"),
        )
        read_only_fields = ("through", "state", "sent_at", "ended_at")


class CameSerializer(Strict):
    """So many of a lot that have arrived."""

    lot = row(Lot)
    quantity = serializers.IntegerField()


class ArrivalSerializer(Strict):
    """What arrived, and into which place it is unloaded."""

    place = row(Place)
    came = CameSerializer(many=True, allow_empty=False, max_length=MOST_LOADS)  # type: ignore[call-arg]


class TransferFilters(FilterSet):
    from_site = RowFilter(Site)
    to_site = RowFilter(Site)
    state = filters.ChoiceFilter(choices=TransferState.choices)


class Transfers(Acting):
    """Loads between sites, newest first."""

    queryset = Transfer.objects.select_related("sent_by", "ended_by").prefetch_related("lines__lot")
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
    @action(
        detail=True, methods=["post"], required_permissions={"POST": ["inventory.change_transfer"]}
    )
    @once
    def arrival(self, request: Request, pk: str) -> Response:
        """Book in what arrived; what did not come stays on the way."""
        values = given(ArrivalSerializer(data=request.data))
        came: dict[int, int] = {}
        for one in values["came"]:
            came[one["lot"].pk] = came.get(one["lot"].pk, 0) + one["quantity"]
        transfer = transferring.book_arrival(
            transfer=self.get_object(), came=came, place=values["place"],
            by=request.user, at=timezone.now(),  # type: ignore[arg-type]
        )  # fmt: skip
        return self.told(self.again(transfer))
