"""Customers' complaints over the API, to their answer."""

from __future__ import annotations

from typing import Any

from django.core.files.uploadedfile import UploadedFile
from django.http import HttpResponse
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.activities import complaining
from inventory.api.acting import Acting, row
from inventory.api.promised import OfCustomer, customer_name, number, who
from inventory.ground.idempotency import once
from inventory.ground.rest.filtering import FilterSet, RowFilter, WordsFilter, filters
from inventory.ground.rest.serializers import Strict, Told, given
from inventory.ground.rest.views import Entered, Listed
from inventory.ground.uploads import PICTURES, attachment, take
from inventory.models.complaint import (
    ComplaintOutcome,
    ComplaintPicture,
    ComplaintState,
    CustomerComplaint,
)
from inventory.models.lot import Lot
from inventory.models.supplier import Supplier

MAY_FOLLOW = {"POST": ["inventory.change_customercomplaint"]}


class ComplaintSerializer(Told):
    """What is wrong with tyres of one lot that left with one despatch."""

    number = number()
    customer_name = customer_name()
    opened_by = who("opened_by")
    sent_on_by = who("sent_on_by")
    closed_by = who("closed_by")
    outcome = serializers.CharField(read_only=True, help_text="Empty until it is closed")

    class Meta:
        model = CustomerComplaint
        fields = (
            *("id", "number", "customer", "customer_name", "despatch_line", "lot", "quantity"),
            *("says", "tread_left_mm", "state", "opened_at", "opened_by", "supplier"),
            *("sent_on_at", "sent_on_by", "maker_reference", "closed_at", "closed_by"),
            *("outcome", "answer"),
        )
        read_only_fields = (
            *("customer", "lot", "state", "opened_at", "supplier", "sent_on_at"),
            *("maker_reference", "closed_at", "answer"),
        )


class MakerSerializer(Strict):
    """To whom it goes; left out: to the one who delivered the lot."""

    supplier = row(Supplier, required=False, allow_null=True)
    maker_reference = serializers.CharField(max_length=60, allow_blank=True, default="")


class CloseSerializer(Strict):
    """What it came to, and what was answered."""

    outcome = serializers.ChoiceField(ComplaintOutcome.choices)
    answer = serializers.CharField(max_length=2000)


class PictureSerializer(Told):
    """A photograph; its copy is at `content/`."""

    added_by = who("added_by")

    class Meta:
        model = ComplaintPicture
        fields = ("id", "complaint", "name", "digest", "media_type", "added_at", "added_by")


class PhotographSerializer(Strict):
    """A JPEG or PNG."""

    file = serializers.FileField()


class ComplaintFilters(OfCustomer):
    state = filters.ChoiceFilter(choices=ComplaintState.choices)
    lot = RowFilter(Lot)
    supplier = RowFilter(Supplier)
    q = WordsFilter("says", "answer", "customer__name")


class Complaints(Entered, Acting):
    """What customers complain of, newest first."""

    queryset = CustomerComplaint.objects.select_related(
        "customer", "opened_by", "sent_on_by", "closed_by"
    )
    serializer_class = ComplaintSerializer
    filterset_class = ComplaintFilters
    orderings = {"id": "pk", "opened_at": "opened_at"}
    default_ordering = "-id"
    make = staticmethod(complaining.open_complaint)
    called = "complaint"

    @extend_schema(request=MakerSerializer, responses=ComplaintSerializer)
    @action(detail=True, methods=["post"], url_path="to-maker", required_permissions=MAY_FOLLOW)
    @once
    def to_maker(self, request: Request, pk: str) -> Response:
        """The maker has it."""
        return self.step(request, complaining.take_to_maker, MakerSerializer)

    @extend_schema(request=CloseSerializer, responses=ComplaintSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_FOLLOW)
    @once
    def close(self, request: Request, pk: str) -> Response:
        """Close it with the answer."""
        return self.step(request, complaining.close, CloseSerializer)

    @extend_schema(
        request={"multipart/form-data": PhotographSerializer}, responses={201: PictureSerializer}
    )
    @action(
        detail=True,
        methods=["post"],
        required_permissions={"POST": ["inventory.add_complaintpicture"]},
    )
    @once
    def pictures(self, request: Request, pk: str) -> Response:
        """Keep a photograph with it."""
        file: UploadedFile[Any] = given(PhotographSerializer(data=request.data))["file"]
        got, by = take(file, among=PICTURES), request.user
        made = complaining.add_picture(
            complaint=self.get_object(), name=got.name, digest=got.digest,
            media_type=str(got.media_type), content=got.copy,
            by=by, at=timezone.now(),  # type: ignore[arg-type]
        )  # fmt: skip
        address = request.build_absolute_uri(f"/api/v1/complaint-pictures/{made.pk}/")
        return Response(PictureSerializer(made).data, 201, headers={"Location": address})


class PictureFilters(FilterSet):
    complaint = RowFilter(CustomerComplaint)


class Pictures(Listed):
    """Photographs of complaints."""

    queryset = ComplaintPicture.objects.defer("content").select_related("added_by")
    serializer_class = PictureSerializer
    filterset_class = PictureFilters

    @extend_schema(responses={(200, "image/*"): OpenApiTypes.BINARY})
    @action(detail=True, methods=["get"])
    def content(self, request: Request, pk: str) -> HttpResponse:
        """The copy, as a file."""
        found: Any = self.get_object()
        return attachment(bytes(found.content), name=found.name, media_type=found.media_type)
