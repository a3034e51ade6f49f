"""Counts and write-offs over the API, step by step."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.activities import counting, writing_off
from inventory.api.acting import Nothing, row
from inventory.api.breaking import Breaking, broken_holds, with_broken
from inventory.ground.idempotency import once
from inventory.ground.rest.filtering import FilterSet, RowFilter, filters
from inventory.ground.rest.serializers import Strict, Told, given
from inventory.models.count import Count, CountLine, CountState
from inventory.models.lot import Lot
from inventory.models.place import Place, Site
from inventory.models.sku import Sku
from inventory.models.write_off import WriteOff, WriteOffReason, WriteOffState

_BLIND = (CountState.COUNTING, CountState.AGAIN)


class CountLineSerializer(serializers.ModelSerializer[Any]):
    """What was counted. `ledger_said` is null as long as it is being counted: counts are blind."""

    lot_code = serializers.CharField(source="lot.code", read_only=True)
    ledger_said = serializers.SerializerMethodField()

    class Meta:
        model = CountLine
        fields = ("id", "lot", "lot_code", "place", "again", "counted", "ledger_said", "counted_at")

    def get_ledger_said(self, line: CountLine) -> int | None:
        """What the ledger said at that moment."""
        return None if line.count.state in _BLIND else line.ledger_said


class CountSerializer(Told):
    """One count of a place, or of a SKU at a site."""

    number = serializers.CharField(read_only=True)
    started_by = serializers.CharField(source="started_by.username", read_only=True)
    at_work_by = serializers.CharField(source="at_work_by.username", read_only=True)
    ended_by = serializers.CharField(
        source="ended_by.username", read_only=True, default=None, allow_null=True
    )
    site = row(Site, required=False)
    lines = CountLineSerializer(many=True, read_only=True)

    class Meta:
        model = Count
        fields: tuple[str, ...] = (
            *("id", "number", "site", "place", "sku", "state", "self_checked", "alone_up_to"),
            *("started_at", "started_by", "at_work_by", "ended_at", "ended_by", "ended_why"),
            *("posting", "lines"),
        )
        read_only_fields = (
            *("state", "self_checked", "alone_up_to", "started_at", "ended_at", "ended_why"),
            "posting",
        )
        # Which count is open already is said by the activity, with the name of whoever has it.
        validators: list[Any] = []


class CountDoneSerializer(CountSerializer):
    """The count after a step that may break holds: those that it broke, by their numbers."""

    broken_holds = broken_holds()

    class Meta(CountSerializer.Meta):
        fields = (*CountSerializer.Meta.fields, "broken_holds")


class EnterSerializer(Strict):
    """So many more of a lot are there; `place` where a SKU is counted."""

    lot = row(Lot)
    place = row(Place, required=False)
    quantity = serializers.IntegerField()


class AloneSerializer(Strict):
    """`alone`: whoever did it passes it too, in a team too small for another."""

    alone = serializers.BooleanField(default=False)


class GiveUpCountSerializer(Strict):
    """Why it is given up."""

    why = serializers.CharField(max_length=240)


class CountFilters(FilterSet):
    site = RowFilter(Site)
    place = RowFilter(Place)
    sku = RowFilter(Sku)
    state = filters.ChoiceFilter(choices=CountState.choices)


_MAY_COUNT = {"POST": ["inventory.change_count"]}


class Counts(Breaking):
    """Counts, newest first."""

    queryset = Count.objects.with_names().prefetch_related("lines__lot", "lines__count")
    serializer_class = CountSerializer
    filterset_class = CountFilters
    orderings = {"id": "pk", "started_at": "started_at"}
    default_ordering = "-id"
    called = "count"

    @once
    def create(self, request: Request) -> Response:
        """Begin to count."""
        values = given(self.get_serializer(data=request.data))
        begun = counting.begin(by=request.user, at=timezone.now(), **values)  # type: ignore[arg-type]
        address = request.build_absolute_uri(f"{request.path.rstrip('/')}/{begun.pk}/")
        return self.told(self.again(begun), 201, Location=address)

    @extend_schema(request=EnterSerializer, responses=CountSerializer)
    @action(detail=True, methods=["post"], required_permissions=_MAY_COUNT)
    @once
    def enter(self, request: Request, pk: str) -> Response:
        """Say what is there, a lot at a time; entered twice, the two are added."""
        return self.step(request, counting.enter, EnterSerializer)

    @extend_schema(request=None, responses=CountSerializer)
    @action(detail=True, methods=["post"], url_path="take-up", required_permissions=_MAY_COUNT)
    @once
    def take_up(self, request: Request, pk: str) -> Response:
        """Go on with what somebody else began."""
        return self.step(request, counting.take_up, Nothing)

    @extend_schema(request=None, responses=CountDoneSerializer)
    @action(detail=True, methods=["post"], url_path="hand-in", required_permissions=_MAY_COUNT)
    @once
    def hand_in(self, request: Request, pk: str) -> Response:
        """Say that all that is there was entered."""
        return self.breaking(request, counting.hand_in, Nothing)

    @extend_schema(request=AloneSerializer, responses=CountDoneSerializer)
    @action(detail=True, methods=["post"], url_path="post", required_permissions=_MAY_COUNT)
    @once
    def post_it(self, request: Request, pk: str) -> Response:
        """Post the differences of somebody else's count."""
        return self.breaking(request, counting.post_count, AloneSerializer)

    @extend_schema(request=GiveUpCountSerializer, responses=CountSerializer)
    @action(detail=True, methods=["post"], url_path="give-up", required_permissions=_MAY_COUNT)
    @once
    def give_up(self, request: Request, pk: str) -> Response:
        """End it with nothing posted."""
        return self.step(request, counting.give_up, GiveUpCountSerializer)


class WriteOffSerializer(Told):
    """So many of a lot in a place written off, or to be."""

    number = serializers.CharField(read_only=True)
    asked_by = serializers.CharField(source="asked_by.username", read_only=True)
    decided_by = serializers.CharField(
        source="decided_by.username", read_only=True, default=None, allow_null=True
    )

    class Meta:
        model = WriteOff
        fields: tuple[str, ...] = (
            *("id", "number", "lot", "place", "quantity", "reason", "why", "state"),
            *("self_checked", "alone_up_to", "asked_at", "asked_by", "decided_at"),
            *("decided_by", "answer", "posting"),
        )
        read_only_fields = (
            *("state", "self_checked", "alone_up_to", "asked_at", "decided_at", "answer"),
            "posting",
        )


class WriteOffDoneSerializer(WriteOffSerializer):
    """The write-off after a step that may break holds: those that it broke, by their numbers."""

    broken_holds = broken_holds()

    class Meta(WriteOffSerializer.Meta):
        fields = (*WriteOffSerializer.Meta.fields, "broken_holds")


class AnswerSerializer(Strict):
    """Why the tyres stay in the books."""

    answer = serializers.CharField(max_length=500)


class WriteOffFilters(FilterSet):
    lot = RowFilter(Lot)
    sku = RowFilter(Sku, field_name="lot__sku")
    state = filters.ChoiceFilter(choices=WriteOffState.choices)
    reason = filters.ChoiceFilter(choices=WriteOffReason.choices)


_MAY_DECIDE = {"POST": ["inventory.change_writeoff"]}


class WriteOffs(Breaking):
    """Write-offs, newest first. Up to a few tyres are booked out when it is asked for."""

    queryset = WriteOff.objects.select_related("asked_by", "decided_by")
    serializer_class = WriteOffSerializer
    filterset_class = WriteOffFilters
    orderings = {"id": "pk", "asked_at": "asked_at"}
    default_ordering = "-id"
    called = "row"

    @extend_schema(responses={201: WriteOffDoneSerializer})
    @once
    def create(self, request: Request) -> Response:
        """Write tyres off; more than a few wait for another person."""
        values = given(self.get_serializer(data=request.data))
        made, broken = writing_off.write_off(by=request.user, at=timezone.now(), **values)  # type: ignore[arg-type]
        address = request.build_absolute_uri(f"{request.path.rstrip('/')}/{made.pk}/")
        return with_broken(self.told(self.again(made), 201, Location=address), broken)

    @extend_schema(request=AloneSerializer, responses=WriteOffDoneSerializer)
    @action(detail=True, methods=["post"], url_path="pass", required_permissions=_MAY_DECIDE)
    @once
    def pass_it(self, request: Request, pk: str) -> Response:
        """Book them out."""
        return self.breaking(request, writing_off.pass_write_off, AloneSerializer)

    @extend_schema(request=AnswerSerializer, responses=WriteOffSerializer)
    @action(detail=True, methods=["post"], required_permissions=_MAY_DECIDE)
    @once
    def refuse(self, request: Request, pk: str) -> Response:
        """Keep them in the books."""
        return self.step(request, writing_off.refuse_write_off, AnswerSerializer)
