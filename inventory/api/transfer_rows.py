"""How the API tells of transfers, and what it takes to send, book in and end them."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from inventory.api.acting import row
from inventory.api.promised import who
from inventory.ground.rest.serializers import Strict, Told
from inventory.models.lot import Lot
from inventory.models.place import Place
from inventory.models.transfer import ShortReason, Transfer, TransferLine

MOST_LOADS = 500


class TransferLineSerializer(serializers.ModelSerializer[Any]):
    """So many of a lot that were sent, how many have arrived, and how many never will."""

    lot_code = serializers.CharField(source="lot.code", read_only=True)
    to_come = serializers.IntegerField(read_only=True)

    class Meta:
        model = TransferLine
        fields = ("lot", "lot_code", "quantity", "arrived", "missing", "to_come")


class LoadSerializer(Strict):
    """So many of a lot, from a place of the site that sends."""

    lot = row(Lot)
    source = row(Place)  # type: ignore[assignment]
    quantity = serializers.IntegerField()


class TransferSerializer(Told):
    """One load between two sites."""

    number = serializers.CharField(read_only=True)
    sent_by = who("sent_by")
    at_work_by = who("at_work_by")
    ended_by = who("ended_by")
    short_reason = serializers.ChoiceField(ShortReason.choices, read_only=True, allow_blank=True)
    loads = LoadSerializer(many=True, write_only=True, allow_empty=False, max_length=MOST_LOADS)  # type: ignore[call-arg]
    lines = TransferLineSerializer(many=True, read_only=True)

    class Meta:
        model = Transfer
        fields = (
            *("id", "number", "from_site", "to_site", "through", "carrier", "note", "state"),
            *("outing", "sent_at", "sent_by", "at_work_at", "at_work_by", "short_reason"),
            *("short_why", "ended_at", "ended_by", "loads", "lines"),
        )
        read_only_fields = (
            *("through", "state", "outing", "sent_at", "at_work_at", "short_reason", "short_why"),
            "ended_at",
        )


class CameSerializer(Strict):
    """So many of a lot that have arrived."""

    lot = row(Lot)
    quantity = serializers.IntegerField()


class ArrivalSerializer(Strict):
    """What arrived, and into which place it is unloaded."""

    place = row(Place)
    came = CameSerializer(many=True, allow_empty=False, max_length=MOST_LOADS)  # type: ignore[call-arg]
    they_fit = serializers.BooleanField(default=False)


class ScanArrivalSerializer(Strict):
    """What a scanner read, and the place it goes to; all of its lot, unless fewer are told."""

    scanned = serializers.CharField(max_length=500)
    place = row(Place)
    quantity = serializers.IntegerField(required=False, allow_null=True)
    they_fit = serializers.BooleanField(default=False)


class EndSerializer(Strict):
    """What became of those that did not come; `found_in` where they were left behind."""

    reason = serializers.ChoiceField(ShortReason.choices)
    why = serializers.CharField(max_length=500, allow_blank=True, default="")
    found_in = row(Place, required=False, allow_null=True)
