"""Goods on consignment over the API: taken, agreed about, bought in, given back."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.db.models import QuerySet
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.activities import consigning
from inventory.api.acting import Acting, row
from inventory.api.promised import number, who
from inventory.ground.idempotency import once
from inventory.ground.rest.filtering import FilterSet, IsoDateFilter, RowFilter, filters
from inventory.ground.rest.serializers import Strict, Told, given
from inventory.ground.rest.views import Listed
from inventory.models.consignment import ConsignedLot, Consignment, ConsignmentStep, StepKind
from inventory.models.lot import Condition, Lot
from inventory.models.place import Place
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier

MOST_KINDS = 100
MOST_PARTS = 500


class ConsignedLotSerializer(serializers.ModelSerializer[Any]):
    """One lot, how many of it lay here then, and the price agreed for one."""

    lot_code = serializers.CharField(source="lot.code", read_only=True)

    class Meta:
        model = ConsignedLot
        fields = ("lot", "lot_code", "quantity", "price")


class ConsignedSerializer(Strict):
    """So many tyres that read alike; a mark that is not sent is the SKU's own."""

    sku = row(Sku)
    quantity = serializers.IntegerField()
    price = serializers.DecimalField(9, 2)
    date_code = serializers.CharField(max_length=40, required=False, allow_blank=True)
    mark = serializers.CharField(max_length=20, required=False, allow_blank=True)
    condition = serializers.ChoiceField(Condition.choices, default=Condition.NEW)


class AgreedSerializer(Strict):
    """A lot that lies here on consignment already, and the price of one tyre of it."""

    lot = row(Lot)
    price = serializers.DecimalField(9, 2)


class ConsignmentSerializer(Told):
    """What one supplier left here; `left` are the tyres that lie here and are theirs still."""

    number = number()
    supplier_name = serializers.CharField(source="supplier.name", read_only=True)
    taken_by = who("taken_by")
    left = serializers.IntegerField(read_only=True)
    place = row(Place, write_only=True)
    tyres = ConsignedSerializer(
        many=True,
        write_only=True,
        allow_empty=False,
        max_length=MOST_KINDS,  # type: ignore[call-arg]
    )
    they_fit = serializers.BooleanField(write_only=True, default=False)
    lots = ConsignedLotSerializer(many=True, read_only=True)

    class Meta:
        model = Consignment
        fields = (
            *("id", "number", "supplier", "supplier_name", "reference", "due_on", "currency"),
            *("note", "taken_at", "taken_by", "left", "place", "tyres", "they_fit"),
            "lots",
        )
        read_only_fields = ("taken_at",)


class AgreeSerializer(Strict):
    """Of which lots what is agreed; nothing moves."""

    supplier = row(Supplier)
    reference = serializers.CharField(max_length=60, required=False, allow_blank=True)
    due_on = serializers.DateField()
    currency = serializers.CharField(max_length=3, required=False)
    note = serializers.CharField(max_length=500, required=False, allow_blank=True)
    lots = AgreedSerializer(many=True, allow_empty=False, max_length=MOST_KINDS)  # type: ignore[call-arg]


class ConsignedPartSerializer(Strict):
    """So many of a lot in a place."""

    lot = row(Lot)
    place = row(Place)
    quantity = serializers.IntegerField()


class BuyInSerializer(Strict):
    """What becomes the house's, at the prices agreed or at another one for all of it."""

    parts = ConsignedPartSerializer(many=True, allow_empty=False, max_length=MOST_PARTS)  # type: ignore[call-arg]
    unit_cost = serializers.DecimalField(9, 2, required=False, allow_null=True)


class GiveBackSerializer(Strict):
    """What leaves for the consignor."""

    parts = ConsignedPartSerializer(many=True, allow_empty=False, max_length=MOST_PARTS)  # type: ignore[call-arg]
    note = serializers.CharField(max_length=500, required=False, allow_blank=True)


class ConsignmentFilters(FilterSet):
    supplier = RowFilter(Supplier)
    open = filters.BooleanFilter(method="still_open", label="some of it lies here")
    due_before = IsoDateFilter(field_name="due_on", lookup_expr="lt")

    def still_open(self, rows: QuerySet[Any], name: str, value: bool) -> QuerySet[Any]:
        """Narrowed by what ``with_left`` says."""
        return rows.filter(left__gt=0) if value else rows.filter(left=0)


class Consignments(Acting):
    """Goods on consignment, newest first."""

    queryset = (
        Consignment.objects.with_left()
        .select_related("supplier", "taken_by")
        .prefetch_related("lots__lot")
    )
    serializer_class = ConsignmentSerializer
    filterset_class = ConsignmentFilters
    orderings = {"id": "pk", "due_on": "due_on"}
    default_ordering = "-id"
    called = "consignment"

    @once
    def create(self, request: Request) -> Response:
        """Take goods in that stay the supplier's until they are bought in."""
        told = given(self.get_serializer(data=request.data))
        told["tyres"] = [consigning.Consigned(**one) for one in told["tyres"]]
        return self._made(request, consigning.take, told)

    @extend_schema(request=AgreeSerializer, responses={201: ConsignmentSerializer})
    @action(
        detail=False, methods=["post"], required_permissions={"POST": ["inventory.add_consignment"]}
    )
    @once
    def agree(self, request: Request) -> Response:
        """Write down what is agreed of lots that lie here on consignment already."""
        told = given(AgreeSerializer(data=request.data))
        told["lots"] = [consigning.Agreed(**one) for one in told["lots"]]
        return self._made(request, consigning.agree, told)

    @extend_schema(request=BuyInSerializer, responses=ConsignmentSerializer)
    @action(
        detail=True, methods=["post"], url_path="buy-in",
        required_permissions={"POST": ["inventory.change_consignment"]},
    )  # fmt: skip
    @once
    def buy_in(self, request: Request, pk: str) -> Response:
        """Make some of them the house's; what was written stands under `consignment-steps`."""
        return self._done(request, consigning.buy_in, BuyInSerializer)

    @extend_schema(request=GiveBackSerializer, responses=ConsignmentSerializer)
    @action(
        detail=True, methods=["post"], url_path="give-back",
        required_permissions={"POST": ["inventory.add_consignmentstep"]},
    )  # fmt: skip
    @once
    def give_back(self, request: Request, pk: str) -> Response:
        """Book some of them out to the consignor."""
        return self._done(request, consigning.give_back, GiveBackSerializer)

    def _made(
        self, request: Request, work: Callable[..., Consignment], told: dict[str, Any]
    ) -> Response:
        made = work(by=request.user, at=timezone.now(), **told)
        address = self.reverse_action("detail", args=[made.pk])
        return self.told(self.again(made), 201, Location=address)

    def _done(
        self, request: Request, work: Callable[..., Any], body: type[serializers.Serializer[Any]]
    ) -> Response:
        consignment = self.get_object()
        told = given(body(data=request.data))
        told["parts"] = [consigning.Part(**one) for one in told["parts"]]
        work(consignment=consignment, by=request.user, at=timezone.now(), **told)
        return self.told(self.again(consignment))


class ConsignmentStepSerializer(Told):
    """So many of a lot bought in or given back; `corrected` where that was taken back."""

    lot_code = serializers.CharField(source="lot.code", read_only=True)
    into_code = serializers.CharField(
        source="into.code", read_only=True, default=None, allow_null=True
    )
    done_by = who("done_by")
    corrected = serializers.BooleanField(read_only=True)

    class Meta:
        model = ConsignmentStep
        fields = (
            *("id", "consignment", "kind", "lot", "lot_code", "place", "quantity", "into"),
            *("into_code", "unit_cost", "posting", "corrected", "done_at", "done_by"),
        )
        read_only_fields = fields


class ConsignmentStepFilters(FilterSet):
    consignment = RowFilter(Consignment)
    lot = RowFilter(Lot)
    kind = filters.ChoiceFilter(choices=StepKind.choices)


class ConsignmentSteps(Listed):
    """What was bought in or given back, newest first; written through the consignment."""

    queryset = ConsignmentStep.objects.with_corrected().select_related("lot", "into", "done_by")
    serializer_class = ConsignmentStepSerializer
    filterset_class = ConsignmentStepFilters
    orderings = {"id": "pk", "done_at": "done_at"}
    default_ordering = "-id"
