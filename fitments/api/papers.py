"""Versions of documents over the API, and their files, sent and handed out."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpResponse
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.decorators import action
from rest_framework.parsers import MultiPartParser
from rest_framework.request import Request
from rest_framework.response import Response

from fitments.activities import evidence
from fitments.models.evidence import Evidence, EvidenceVersion
from inventory.ground.idempotency import once
from inventory.ground.rest.filtering import FilterSet, RowFilter
from inventory.ground.rest.serializers import Strict, Told, given
from inventory.ground.rest.views import Listed
from inventory.ground.uploads import attachment, store, take

SAYS = (
    *("kind", "reference", "issuer", "dated", "says", "model_ranges", "sizes", "marks", "axles"),
    *("says_from", "says_to", "digest", "due_on", "why"),
)


class FileSerializer(Strict):
    """A PDF, JPEG or PNG of up to 20 MB, and why it is sent."""

    why = serializers.CharField(max_length=500)
    file = serializers.FileField()


class WithFile(Listed):
    """A document's file: handed out to be saved, sent as a new version of what is known."""

    @extend_schema(responses={(200, "application/octet-stream"): OpenApiTypes.BINARY})
    @action(detail=True, methods=["get"], required_permissions={"GET": ["fitments.view_evidence"]})
    def file(self, request: Request, pk: str) -> HttpResponse:
        """The file, to be saved; of a picture the copy without the place where it was taken."""
        found: Evidence = self.get_object()
        if not found.copy_digest:
            raise Http404
        content = store.content_of(found.copy_digest)
        return attachment(content, name=found.file_name, media_type=found.media_type)

    @extend_schema(request=FileSerializer)
    @action(
        detail=True,
        methods=["post"],
        url_path="send-file",
        parser_classes=[MultiPartParser],
        required_permissions={"POST": ["fitments.change_evidence"]},
    )
    @once
    def send_file(self, request: Request, pk: str) -> Response:
        """Keep the file of a document: it wants checking again."""
        said = given(FileSerializer(data=request.data))
        done = evidence.change(
            evidence=self.get_object(), file=take(said["file"]), why=said["why"],
            by=request.user, at=timezone.now(),  # type: ignore[arg-type]
        )  # fmt: skip
        return self.told(self.again(done))


class PaperVersionSerializer(Told):
    """What was known of a document from `known_from` until `known_to`, null while it is known."""

    code = serializers.CharField(source="evidence.code", read_only=True)
    known_from = serializers.DateTimeField(source="known.lower", read_only=True)
    known_to = serializers.DateTimeField(source="known.upper", read_only=True, allow_null=True)
    checked_by: Any = serializers.CharField(
        source="checked_by.username", read_only=True, default=None, allow_null=True
    )
    written_by: Any = serializers.CharField(
        source="written_by.username", read_only=True, default=None, allow_null=True
    )
    self_checked = serializers.BooleanField(read_only=True)

    class Meta:
        model = EvidenceVersion
        fields = (
            *("id", "evidence", "code", "known_from", "known_to", *SAYS, "file_name"),
            *("checked_at", "checked_by", "self_checked", "written_at", "written_by"),
        )


class PaperVersionFilters(FilterSet):
    evidence = RowFilter(Evidence)


class PaperVersions(Listed):
    """Everything that was ever known of any document, newest first."""

    queryset = EvidenceVersion.objects.select_related("evidence", "checked_by", "written_by")
    serializer_class = PaperVersionSerializer
    filterset_class = PaperVersionFilters
    orderings = {"id": "pk"}
    default_ordering = "-id"
