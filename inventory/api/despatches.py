"""What has left and what came back, over the API."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.activities import returning
from inventory.activities.returning import CameBack
from inventory.api.acting import row
from inventory.api.promised import OfCustomer, customer_name, number, who
from inventory.ground.idempotency import once
from inventory.ground.rest.filtering import IsoDateFilter, RowFilter, WordsFilter, filters
from inventory.ground.rest.serializers import Strict, Told, given
from inventory.ground.rest.views import Listed
from inventory.models.despatch import Despatch, DespatchLine
from inventory.models.lot import Condition, Lot
from inventory.models.place import Place
from inventory.models.returned import Return, ReturnLine, ReturnReason
from inventory.models.sale import Order

MOST_LINES = 200


class DespatchLineSerializer(serializers.ModelSerializer[Any]):
    """So many of one lot that left, with what was known of it."""

    class Meta:
        model = DespatchLine
        fields = ("id", "order_line", "hold", "lot", "place", "for_place", "quantity", "known")


class DespatchSerializer(Told):
    """Goods that left; `word_by` is whose word let them go against advice."""

    number = number()
    customer_name = customer_name()
    despatched_by = who("despatched_by")
    word_by = who("word_by")
    lines = DespatchLineSerializer(many=True, read_only=True)

    class Meta:
        model = Despatch
        fields = (
            *("id", "number", "order", "customer", "customer_name", "pick_list", "posting"),
            *("carrier", "parcels", "known", "despatched_at", "despatched_by", "word_at"),
            *("word_by", "word_why", "lines"),
        )


class DespatchFilters(OfCustomer):
    order = RowFilter(Order)
    lot = RowFilter(Lot, field_name="lines__lot", distinct=True)
    sent_from = IsoDateFilter("despatched_at", "date__gte")
    against_advice = filters.BooleanFilter("word_at", "isnull", exclude=True)
    q = WordsFilter("carrier", "customer__name")


class Despatches(Listed):
    """What has left, newest first; it leaves from its pick list."""

    queryset = Despatch.objects.select_related(
        "customer", "despatched_by", "word_by"
    ).prefetch_related("lines")
    serializer_class = DespatchSerializer
    filterset_class = DespatchFilters
    orderings = {"id": "pk", "despatched_at": "despatched_at"}
    default_ordering = "-id"


class ReturnLineSerializer(serializers.ModelSerializer[Any]):
    """So many of one line that left, as they came back."""

    class Meta:
        model = ReturnLine
        fields = ("despatch_line", "quantity", "condition", "into_lot", "place", "note")


class ReturnSerializer(Told):
    """Goods of one despatch that came back."""

    number = number()
    returned_by = who("returned_by")
    lines = ReturnLineSerializer(many=True, read_only=True)

    class Meta:
        model = Return
        fields = (
            *("id", "number", "despatch", "customer", "posting", "reason", "note", "returned_at"),
            *("returned_by", "lines"),
        )


class CameBackSerializer(Strict):
    """So many of one line of the despatch, in what condition, put where."""

    line = row(DespatchLine)
    quantity = serializers.IntegerField()
    condition = serializers.ChoiceField(Condition.choices)
    place = row(Place)
    note = serializers.CharField(max_length=240, allow_blank=True, default="")
    buffed_to_mm = serializers.DecimalField(3, 1, required=False, allow_null=True)


class ReturnedSerializer(Strict):
    """What came back of a despatch, and why."""

    despatch = row(Despatch)
    reason = serializers.ChoiceField(ReturnReason.choices)
    note = serializers.CharField(max_length=500, allow_blank=True, default="")
    lines = CameBackSerializer(many=True, allow_empty=False, max_length=MOST_LINES)  # type: ignore[call-arg]


class ReturnFilters(OfCustomer):
    despatch = RowFilter(Despatch)
    reason = filters.ChoiceFilter(choices=ReturnReason.choices)


class Returns(Listed):
    """What came back, newest first."""

    queryset = Return.objects.select_related("returned_by").prefetch_related("lines")
    serializer_class = ReturnSerializer
    filterset_class = ReturnFilters
    orderings = {"id": "pk", "returned_at": "returned_at"}
    default_ordering = "-id"

    @extend_schema(request=ReturnedSerializer, responses={201: ReturnSerializer})
    @once
    def create(self, request: Request) -> Response:
        """Book in what came back: into its own lot, or one made from it."""
        told: dict[str, Any] = given(ReturnedSerializer(data=request.data))
        told["lines"] = [CameBack(**one) for one in told["lines"]]
        made = returning.take_back(by=request.user, at=timezone.now(), **told)  # type: ignore[arg-type]
        return self.entered(request, made)
