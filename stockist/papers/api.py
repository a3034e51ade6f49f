"""Papers over the API."""

from __future__ import annotations

from typing import ClassVar

from django.http import HttpResponse
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.views import APIView

from stockist.papers.views import note_file, quote_file


class DeliveryNoteView(APIView):
    """The delivery note of a despatch, as it was known when it left: the same bytes each time."""

    required_permissions: ClassVar = {"GET": ["inventory.view_despatch"]}

    @extend_schema(
        operation_id="delivery_note", responses={(200, "application/pdf"): OpenApiTypes.BINARY}
    )
    def get(self, request: Request, number: int) -> HttpResponse:
        return note_file(number)


class QuotePaperView(APIView):
    """A quote to be printed: the answer and its reasons as they were kept on the day."""

    required_permissions: ClassVar = {"GET": ["inventory.view_quote"]}

    @extend_schema(
        operation_id="quote_paper", responses={(200, "application/pdf"): OpenApiTypes.BINARY}
    )
    def get(self, request: Request, number: int) -> HttpResponse:
        return quote_file(number)
