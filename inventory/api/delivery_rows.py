"""How the API tells of a delivery and its lines, and what it takes to enter one."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import OpenApiExample, extend_schema_serializer
from rest_framework import serializers

from inventory.api.acting import row
from inventory.ground.rest.serializers import Strict, Told
from inventory.models.delivery import Delivery, DeliveryLine, DeliveryNoteLine, Found
from inventory.models.sku import Hand, Sku


class NoteLineSerializer(serializers.ModelSerializer[Any]):
    """How many of a SKU the note says."""

    class Meta:
        model = DeliveryNoteLine
        fields = ("sku", "quantity")


class DeliverySerializer(Told):
    """One delivery by one note; `at_work_by` is who has it in hand."""

    number = serializers.CharField(read_only=True)
    supplier_name = serializers.CharField(source="supplier.name", read_only=True)
    opened_by = serializers.CharField(source="opened_by.username", read_only=True)
    at_work_by = serializers.CharField(source="at_work_by.username", read_only=True)
    ended_by = serializers.CharField(
        source="ended_by.username", read_only=True, default=None, allow_null=True
    )
    note_lines = NoteLineSerializer(many=True, read_only=True)

    class Meta:
        model = Delivery
        fields = (
            *("id", "number", "supplier", "supplier_name", "order", "note_number", "arrived_on"),
            *("place", "quarantine", "state", "note", "opened_at", "opened_by", "at_work_at"),
            *("at_work_by", "ended_at", "ended_by", "ended_why", "posting", "note_lines"),
        )
        read_only_fields = (
            *("state", "opened_at", "at_work_at", "ended_at", "ended_why", "posting"),
        )
        extra_kwargs = {"quarantine": {"required": False}}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance is not None:  # one delivery stays with its supplier
            self.fields["supplier"].read_only = True


class DeliveryLineSerializer(Told):
    """What was read on a tyre or a run of tyres; `disagrees` is "" where it is as ordered."""

    sku_code = serializers.CharField(source="sku.code", read_only=True)
    entered_by = serializers.CharField(source="entered_by.username", read_only=True)

    class Meta:
        model = DeliveryLine
        fields = (
            *("id", "delivery", "sku", "sku_code", "order_line", "quantity", "size_read"),
            *("date_code", "mark", "mark_issue", "pattern_issue", "country", "side", "found"),
            *("disagrees", "says", "over", "lot", "over_lot", "entered_at", "entered_by"),
        )


def _text(most: int) -> serializers.CharField:
    return serializers.CharField(max_length=most, allow_blank=True, required=False)


@extend_schema_serializer(
    examples=[
        OpenApiExample(
            "a run of four",
            {
                "sku": 14,
                "quantity": 4,
                "date_code": "DOT B9XY 8LMN 3026",
                "mark": "HLM",
                "mark_issue": "2",
                "country": "Norland",
            },
        )
    ]
)
class EnterLineSerializer(Strict):
    """What was read. `mark` is "" where there is none; left out where nobody looked."""

    sku = row(Sku)
    quantity = serializers.IntegerField(default=1)
    size_read = _text(120)
    date_code = _text(40)
    mark = serializers.CharField(max_length=20, allow_blank=True, allow_null=True, required=False)
    mark_issue = _text(20)
    pattern_issue = _text(20)
    country = _text(60)
    side = serializers.ChoiceField(Hand.choices, allow_blank=True, required=False)
    found = serializers.ChoiceField(Found.choices, allow_blank=True, required=False)


class NoteSaysSerializer(Strict):
    """How many of a SKU the note says; nought: it does not name it."""

    sku = row(Sku)
    quantity = serializers.IntegerField(min_value=0)


class GiveUpSerializer(Strict):
    """Why the booking is given up."""

    why = serializers.CharField(max_length=240)
