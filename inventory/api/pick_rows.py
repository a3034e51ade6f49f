"""How the API tells of pick lists, and what it takes to pick."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from inventory.api.acting import row
from inventory.api.promised import number, who
from inventory.ground.rest.serializers import Strict, Told
from inventory.models.hold import Hold
from inventory.models.lot import Lot
from inventory.models.pick import Confirmed, PickLine, PickList
from inventory.models.place import Place


class PickLineSerializer(Told):
    """So many of one lot from one place; `taken_lot` where another lot was taken."""

    lot_code = serializers.CharField(source="lot.code", read_only=True)
    date_code = serializers.CharField(source="lot.date_code", read_only=True)
    place_code = serializers.CharField(source="place.code", read_only=True)
    picked_by = who("picked_by")

    class Meta:
        model = PickLine
        fields = (
            *("id", "pick_list", "hold", "lot", "lot_code", "date_code", "place", "place_code"),
            *("for_place", "quantity", "state", "instead_of", "taken_lot", "taken_place", "taken"),
            *("confirmed", "why", "picked_at", "picked_by"),
        )


class PickListSerializer(Told):
    """One round for one order; its lines are in walking order."""

    number = number()
    made_by = who("made_by")
    packed_by = who("packed_by")
    ended_by = who("ended_by")
    word_by = who("word_by")
    lines = PickLineSerializer(many=True, read_only=True)

    class Meta:
        model = PickList
        fields = (
            *("id", "number", "order", "to_place", "state", "parcels", "made_at", "made_by"),
            *("word_at", "word_by", "word_why", "packed_at", "packed_by", "ended_at", "ended_by"),
            *("ended_why", "lines"),
        )
        read_only_fields = (
            *("state", "parcels", "made_at", "word_at", "word_why", "packed_at", "ended_at"),
            "ended_why",
        )


class ScanSerializer(Strict):
    """What a scanner read for a line."""

    line = row(PickLine)
    scanned = serializers.CharField(max_length=500)


def confirmed() -> serializers.ChoiceField:
    """How it was confirmed."""
    return serializers.ChoiceField(Confirmed.choices, default=Confirmed.HAND)


class PickSerializer(Strict):
    """Which line was taken; all of it, unless fewer are told."""

    line = row(PickLine)
    quantity = serializers.IntegerField(required=False, allow_null=True)
    confirmed = confirmed()


class OtherSerializer(PickSerializer):
    """Another lot that was taken, and why."""

    lot = row(Lot)
    place = row(Place)
    why = serializers.CharField(max_length=240, allow_blank=True, default="")


class ShortSerializer(Strict):
    """How many were there, and what is the matter."""

    line = row(PickLine)
    found = serializers.IntegerField()
    why = serializers.CharField(max_length=240)
    confirmed = confirmed()


class PackSerializer(Strict):
    """In how many parcels."""

    parcels = serializers.IntegerField()


class LeaveOutSerializer(Strict):
    """Which set is left out, and why."""

    hold = row(Hold)
    why = serializers.CharField(max_length=240)


class CarrierSerializer(Strict):
    """Who takes it."""

    carrier = serializers.CharField(max_length=120, allow_blank=True, default="")


class LeavingSerializer(serializers.Serializer[Any]):
    """One set as it would leave: `may` is leave, with_a_word or stay."""

    hold = serializers.IntegerField(source="hold.pk")
    what = serializers.CharField(source="hold.what")
    may = serializers.CharField(source="release.may")
    against = serializers.ListField(child=serializers.CharField())
    said = serializers.ListField(child=serializers.CharField(), source="release.said")
    cautions = serializers.ListField(child=serializers.CharField(), source="release.cautions")
