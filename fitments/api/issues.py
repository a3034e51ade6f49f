"""A new issue of a mark over the API: what it would change, and that it takes the place."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from fitments.api.approval_rows import LONGEST_REASON
from fitments.api.reading import size_keys
from fitments.lookup.issues import NewIssue
from fitments.models.car import CarMaker, VehicleLine
from fitments.models.evidence import Evidence
from inventory.ground.rest.serializers import Strict
from inventory.markings import UnreadableMarking
from inventory.models.maker import Pattern


class NewIssueSerializer(Strict):
    """A later issue of a maker's mark, from a day on, and why.

    For one model range, pattern or size where they are told, otherwise for all of them.
    """

    car_maker: Any = serializers.PrimaryKeyRelatedField(queryset=CarMaker.objects.all())
    mark = serializers.CharField(max_length=20)
    old_issue = serializers.CharField(max_length=20, allow_blank=True)
    new_issue = serializers.CharField(max_length=20)
    first_day = serializers.DateField()
    vehicle_line: Any = serializers.PrimaryKeyRelatedField(
        queryset=VehicleLine.objects.all(), required=False, allow_null=True
    )
    pattern: Any = serializers.PrimaryKeyRelatedField(
        queryset=Pattern.objects.all(), required=False, allow_null=True
    )
    size = serializers.CharField(max_length=60, required=False, allow_blank=True)
    evidence: Any = serializers.PrimaryKeyRelatedField(
        many=True, queryset=Evidence.objects.all(), required=False
    )
    why = serializers.CharField(max_length=LONGEST_REASON)

    def validate_size(self, text: str) -> tuple[str, ...]:
        """The keys by which a size is found, however it is written."""
        if not text:
            return ()
        try:
            return tuple(size_keys(text))
        except UnreadableMarking as error:
            raise serializers.ValidationError(str(error)) from error


def asked_of(values: dict[str, Any]) -> dict[str, Any]:
    """As the activity takes it."""
    why, evidence = values.pop("why"), values.pop("evidence", ())
    keys = values.pop("size", ())
    return {"asked": NewIssue(size_keys=keys, **values), "evidence": evidence, "why": why}


class ReplacedSerializer(serializers.Serializer[Any]):
    """An approval, and the one in its place."""

    old = serializers.IntegerField()
    old_code = serializers.CharField()
    successor = serializers.IntegerField()
    successor_code = serializers.CharField()


class NewIssueDoneSerializer(serializers.Serializer[Any]):
    """What was superseded, and how many approvals were recorded for it."""

    recorded = serializers.IntegerField()
    replaced = ReplacedSerializer(many=True)


def told(done: Any) -> dict[str, Any]:
    """The answer."""
    rows = [
        {"old": old.pk, "old_code": old.code, "successor": new.pk, "successor_code": new.code}
        for old, new in done.pairs
    ]
    return dict(NewIssueDoneSerializer({"recorded": done.recorded, "replaced": rows}).data)
