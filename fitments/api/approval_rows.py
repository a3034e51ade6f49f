"""How the API tells of approvals and their versions, and what it takes to say something of one."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from drf_spectacular.utils import OpenApiExample, extend_schema_field, extend_schema_serializer
from rest_framework import serializers

from fitments.activities.versions import Said
from fitments.models.approval import Approval, ApprovalVersion
from fitments.models.evidence import Evidence
from inventory.ground.rest.serializers import Strict, Told

_DAY = timedelta(days=1)
LONGEST_REASON = 500


class BasisSerializer(serializers.ModelSerializer[Any]):
    """A document that a version rests on, and whether anybody has checked it."""

    self_checked = serializers.BooleanField(read_only=True)

    class Meta:
        model = Evidence
        fields = ("id", "code", "kind", "reference", "issuer", "checked_at", "self_checked")


class VersionSerializer(Told):
    """What was known of an approval from `known_from` until `known_to`, null while it is known.

    It is about the days from `valid_from` to `valid_to`, both inclusive; null: no such limit.
    """

    approval_code = serializers.CharField(source="approval.code", read_only=True)
    valid_from = serializers.DateField(source="valid.lower", read_only=True, allow_null=True)
    valid_to = serializers.SerializerMethodField()
    known_from = serializers.DateTimeField(source="known.lower", read_only=True)
    known_to = serializers.DateTimeField(source="known.upper", read_only=True, allow_null=True)
    superseded_by_code = serializers.CharField(
        source="superseded_by.code", read_only=True, default=None, allow_null=True
    )
    recorded_by = serializers.CharField(source="recorded_by.username", read_only=True)
    evidence = BasisSerializer(many=True, read_only=True)

    class Meta:
        model = ApprovalVersion
        fields = (
            *("id", "approval", "approval_code", "valid_from", "valid_to", "known_from"),
            *("known_to", "withdrawn_on", "superseded_by", "superseded_by_code"),
            *("least_load_index", "buffing_allowed", "conditions", "why", "recorded_by"),
            "evidence",
        )

    @extend_schema_field(serializers.DateField(allow_null=True))
    def get_valid_to(self, version: ApprovalVersion) -> str | None:
        """The last day, inclusive."""
        upper = version.valid.upper
        return (upper - _DAY).isoformat() if upper else None


class SaidSerializer(Strict):
    """What is said of an approval; both days are inclusive, null: no such limit."""

    valid_from = serializers.DateField(required=False, allow_null=True)
    valid_to = serializers.DateField(required=False, allow_null=True)
    withdrawn_on = serializers.DateField(required=False, allow_null=True)
    superseded_by: Any = serializers.PrimaryKeyRelatedField(
        queryset=Approval.objects.all(), required=False, allow_null=True
    )
    least_load_index = serializers.IntegerField(
        required=False, allow_null=True, min_value=0, max_value=300
    )
    buffing_allowed = serializers.BooleanField(required=False, allow_null=True)
    conditions = serializers.CharField(required=False, allow_blank=True, max_length=4000)
    evidence: Any = serializers.PrimaryKeyRelatedField(
        many=True, queryset=Evidence.objects.all(), required=False
    )

    def validate_evidence(self, rows: list[Evidence]) -> frozenset[Evidence]:
        """As the activity takes it."""
        return frozenset(rows)


def said_of(values: dict[str, Any]) -> Said:
    """What was sent, as the activity takes it."""
    return Said(**values)


@extend_schema_serializer(
    examples=[
        OpenApiExample(
            "by a mark",
            {
                "code": "HLM-SPR-2-F",
                "car_maker": 2,
                "vehicle_line": 4,
                "axle": "front",
                "size_text": "185/70 R 15",
                "pattern": 12,
                "mark": "HLM",
                "mark_issue": "2",
                "said": {"valid_from": "1963-05-02", "evidence": [7]},
            },
            request_only=True,
        )
    ]
)
class ApprovalSerializer(Told):
    """What one claim is about, and in `versions` what is said of it.

    A car maker's approval is for a model range, an organiser's for a class of a season.
    """

    car_maker_name = serializers.CharField(
        source="car_maker.name", read_only=True, default=None, allow_null=True
    )
    vehicle_line_name = serializers.CharField(
        source="vehicle_line.name", read_only=True, default=None, allow_null=True
    )
    competition_class_code = serializers.CharField(
        source="competition_class.code", read_only=True, default=None, allow_null=True
    )
    pattern_name = serializers.CharField(
        source="pattern.name", read_only=True, default=None, allow_null=True
    )
    compound_code = serializers.CharField(
        source="compound.code", read_only=True, default=None, allow_null=True
    )
    versions = VersionSerializer(source="told_versions", many=True, read_only=True)
    said = SaidSerializer(write_only=True)
    why = serializers.CharField(
        write_only=True, required=False, allow_blank=True, max_length=LONGEST_REASON
    )

    class Meta:
        model = Approval
        fields = (
            *("id", "code", "car_maker", "car_maker_name", "vehicle_line", "vehicle_line_name"),
            *("competition_class", "competition_class_code", "axle", "size_text", "size"),
            *("pattern", "pattern_name", "compound", "compound_code", "mark", "mark_issue"),
            *("by_list", "versions", "said", "why"),
        )
        read_only_fields = ("size",)

    def validate_said(self, values: dict[str, Any]) -> Said:
        """As the activity takes it."""
        return said_of(values)


class PeriodSerializer(SaidSerializer):
    """Another time at which an approval is, or was, in force, and why that is said."""

    why = serializers.CharField(max_length=LONGEST_REASON)


class CorrectSerializer(PeriodSerializer):
    """What is said instead of `version`: only what is sent is changed."""

    version: Any = serializers.PrimaryKeyRelatedField(queryset=ApprovalVersion.objects.all())


class SupersedeSerializer(Strict):
    """The approval that takes the place of another, from a day on (today unless told)."""

    successor: Any = serializers.PrimaryKeyRelatedField(queryset=Approval.objects.all())
    first_day = serializers.DateField(required=False, allow_null=True)
    why = serializers.CharField(max_length=LONGEST_REASON)


class WithdrawSerializer(Strict):
    """As of which day an approval is withdrawn (today unless told), and why."""

    on = serializers.DateField(required=False, allow_null=True)
    why = serializers.CharField(max_length=LONGEST_REASON)
