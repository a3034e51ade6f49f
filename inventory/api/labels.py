"""Labels over the API, as PDF: for whatever prints them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar

from django.http import HttpResponse
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.views import APIView

from inventory.documents.choosing import MOST, lot_labels, place_labels
from inventory.documents.drawing import drawn
from inventory.documents.values import Label, LabelSize
from inventory.ground.rest.filtering import refuse_unknown
from inventory.ground.rest.serializers import Strict, given
from inventory.models.lot import Lot
from inventory.models.place import Place

_PDF = extend_schema(responses={(200, "application/pdf"): OpenApiTypes.BINARY})


def _rows(model: Any) -> serializers.ListField:
    return serializers.ListField(
        child=serializers.PrimaryKeyRelatedField(queryset=model._default_manager.all()),
        allow_empty=False,
        max_length=MOST,
    )


class LotLabelsSerializer(Strict):
    """Which lots (``lot`` may be given many times), and one label for each tyre or each lot."""

    lot = _rows(Lot)
    each = serializers.ChoiceField(choices=["tyre", "lot"], default="tyre")
    size = serializers.ChoiceField(choices=[one.value for one in LabelSize], default="100x50")


class PlaceLabelsSerializer(Strict):
    """Which places (``place`` may be given many times)."""

    place = _rows(Place)
    size = serializers.ChoiceField(choices=[one.value for one in LabelSize], default="100x50")


def _printed(
    request: Request,
    kind: type[serializers.Serializer[Any]],
    labels: Callable[[dict[str, Any]], list[Label]],
) -> HttpResponse:
    """What was asked for, drawn, a page a label.

    Raises ValidationError and what choosing refuses.
    """
    refuse_unknown(request, set(kind().fields))
    many = {"lot", "place"}
    said = {
        name: request.query_params.getlist(name) if name in many else value
        for name, value in request.query_params.items()
    }
    values = given(kind(data=said))
    pdf = drawn(labels(values), LabelSize(values["size"]))
    return HttpResponse(pdf, content_type="application/pdf")


def _of_lots(values: dict[str, Any]) -> list[Label]:
    lots = Lot.objects.filter(pk__in=[lot.pk for lot in values["lot"]]).order_by("pk")
    return lot_labels(lots, a_tyre=values["each"] == "tyre")


def _of_places(values: dict[str, Any]) -> list[Label]:
    return place_labels(Place.objects.filter(pk__in=[place.pk for place in values["place"]]))


class LotLabels(APIView):
    """Labels of tyres of lots, where they lie, as PDF."""

    required_permissions: ClassVar = {"GET": ["inventory.view_lot"]}

    @extend_schema(parameters=[LotLabelsSerializer])
    @_PDF
    def get(self, request: Request) -> HttpResponse:
        """Print the labels of lots."""
        return _printed(request, LotLabelsSerializer, _of_lots)


class PlaceLabels(APIView):
    """Labels of places, as PDF."""

    required_permissions: ClassVar = {"GET": ["inventory.view_place"]}

    @extend_schema(parameters=[PlaceLabelsSerializer])
    @_PDF
    def get(self, request: Request) -> HttpResponse:
        """Print the labels of places."""
        return _printed(request, PlaceLabelsSerializer, _of_places)
