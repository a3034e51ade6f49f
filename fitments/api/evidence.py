"""Evidence over the API: recorded by one person, checked by another."""

from __future__ import annotations

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from fitments.activities import evidence
from fitments.api.papers import SAYS, WithFile
from fitments.models.approval import Approval
from fitments.models.evidence import Evidence, EvidenceKind
from inventory.ground.idempotency import once
from inventory.ground.rest.filtering import (
    FilterSet,
    IsoDateFilter,
    RowFilter,
    WordsFilter,
    filters,
)
from inventory.ground.rest.serializers import Strict, Told, given
from inventory.ground.rest.views import Kept


class EvidenceSerializer(Told):
    """One document. `digest` is the SHA-256 of its file as received, in hexadecimal."""

    recorded_by = serializers.CharField(source="recorded_by.username", read_only=True)
    checked_by = serializers.CharField(
        source="checked_by.username", read_only=True, default=None, allow_null=True
    )
    written_by = serializers.CharField(
        source="written_by.username", read_only=True, default=None, allow_null=True
    )
    self_checked = serializers.BooleanField(read_only=True)

    class Meta:
        model = Evidence
        fields = (
            *("id", "code", *SAYS, "file_name", "media_type", "copy_digest"),
            *("recorded_at", "recorded_by", "written_at", "written_by"),
            *("checked_at", "checked_by", "self_checked"),
        )
        read_only_fields = (
            *("recorded_at", "written_at", "checked_at"),
            *("file_name", "media_type", "copy_digest"),
        )


class CheckSerializer(Strict):
    """When the document wants another look."""

    due_on = serializers.DateField(required=False, allow_null=True)


class EvidenceFilters(FilterSet):
    code = filters.CharFilter(lookup_expr="iexact")
    kind = filters.ChoiceFilter(choices=EvidenceKind.choices)
    approval = RowFilter(Approval, field_name="approval_versions__approval", distinct=True)
    unchecked = filters.BooleanFilter("checked_at", "isnull")
    due_to = IsoDateFilter("due_on", "lte", help_text="Due for another look by this day")
    q = WordsFilter("code", "reference", "issuer", "says")


class EvidenceList(WithFile, Kept):
    """What approvals rest on. A change of what is said of a document takes its check away."""

    queryset = Evidence.objects.select_related("recorded_by", "written_by", "checked_by")
    serializer_class = EvidenceSerializer
    filterset_class = EvidenceFilters
    orderings = {"code": "code", "recorded_at": "recorded_at", "id": "pk"}
    default_ordering = "code"
    make = staticmethod(evidence.record)
    change = staticmethod(evidence.change)
    called = "evidence"

    @extend_schema(request=CheckSerializer, responses=EvidenceSerializer)
    @action(
        detail=True,
        methods=["post"],
        required_permissions={"POST": ["fitments.change_evidence"]},
    )
    @once
    def check(self, request: Request, pk: str) -> Response:
        """Say that one has looked at the document itself, and it says what is written."""
        values = given(CheckSerializer(data=request.data))
        values |= {"evidence": self.get_object(), "by": request.user}
        return self.told(self.again(evidence.check(at=timezone.now(), **values)))
