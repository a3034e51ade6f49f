"""What is moulded on a sidewall, read and compared over the API; no row of ours is looked at."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, fields
from datetime import date
from typing import Any

from django.utils import timezone
from drf_spectacular.utils import OpenApiExample, extend_schema
from rest_framework.exceptions import ValidationError
from rest_framework.permissions import IsAuthenticated
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from inventory.api.marking_rows import (
    CompareSerializer,
    ComparisonSerializer,
    DateCodeSerializer,
    DateTextSerializer,
    SizeSerializer,
    TextSerializer,
)
from inventory.ground.rest.filtering import refuse_unknown
from inventory.ground.rest.serializers import given
from inventory.markings import (
    DateCode,
    GeometryError,
    NotDerivable,
    Size,
    UnknownLoadIndex,
    UnreadableMarking,
    compare_sizes,
    load_capacity_kg,
    overall_diameter,
    read_date_code,
    read_size,
    rim_of,
    search_keys,
    section_width,
    top_speed_of,
)

CAUTION = (
    "A comparison is not leave to fit: whether a size may go on a car is for its handbook, the "
    "law where it is used, and a qualified fitter who has the car before them."
)


class Marking(APIView):
    """Reading for anybody who is signed in."""

    permission_classes = (IsAuthenticated,)

    def asked(self, request: Request, kind: Any) -> dict[str, Any]:
        """What was asked for, read. Raises ValidationError."""
        serializer = kind(data=request.query_params.dict())
        refuse_unknown(request, set(serializer.fields))
        return given(serializer)


class ReadSize(Marking):
    """A size in any form, read: what it says, the rim, the load, the speed, the dimensions."""

    @extend_schema(
        parameters=[TextSerializer],
        responses=SizeSerializer,
        examples=[OpenApiExample("typed", "185 70 15", parameter_only=("text", "query"))],
    )
    def get(self, request: Request) -> Response:
        text = self.asked(request, TextSerializer)["text"]
        return Response(SizeSerializer(told(text, _read("text", text))).data)


class ReadDateCode(Marking):
    """A date code or a whole identification number, read, with every reading it may have."""

    @extend_schema(parameters=[DateTextSerializer], responses=DateCodeSerializer)
    def get(self, request: Request) -> Response:
        asked = self.asked(request, DateTextSerializer)
        today = timezone.localdate()
        on = asked.get("on", today)
        try:
            code = read_date_code(asked["text"], today)
        except UnreadableMarking as error:
            raise ValidationError({"text": str(error)}) from error
        return Response(DateCodeSerializer(_dated(code) | {"on": on, "age": _age(code, on)}).data)


class CompareSizes(Marking):
    """Two sizes side by side: diameter, width, room, and the speed that is really driven."""

    @extend_schema(parameters=[CompareSerializer], responses=ComparisonSerializer)
    def get(self, request: Request) -> Response:
        asked = self.asked(request, CompareSerializer)
        old, new = _read("old", asked["old"]), _read("new", asked["new"])
        try:
            found = compare_sizes(
                old,
                new,
                shown_kmh=asked["shown"],
                over_read=asked.get("over_read"),
                rule=asked["rule"],
                old_stated_mm=asked.get("old_overall"),
                new_stated_mm=asked.get("new_overall"),
            )
        except GeometryError as error:
            raise ValidationError(str(error)) from error
        return Response(ComparisonSerializer({**asdict(found), "caution": CAUTION}).data)


def _read(field: str, text: str) -> Size:
    try:
        return read_size(text)
    except UnreadableMarking as error:
        raise ValidationError({field: str(error)}) from error


def told(text: str, size: Size) -> dict[str, Any]:
    """Everything that follows from a size, and notes on what does not."""
    notes: list[str] = []
    return {
        **size.as_dict(),
        "text": text,
        "possible_constructions": size.possible_constructions,
        "alternatives": [str(each) for each in size.alternatives],
        "candidates": [str(each) for each in size.candidates],
        "search_keys": sorted(search_keys(size)),
        "rim": rim_of(size),
        "load_kg": _if_known(_load, size, notes),
        "top_speed": top_speed_of(size),
        "overall_diameter": _if_known(overall_diameter, size, notes),
        "section_width": _if_known(section_width, size, notes),
        "notes": notes,
    }


def _load(size: Size) -> float | None:
    return None if size.load_index is None else float(load_capacity_kg(size.load_index))


def _if_known(of: Callable[[Size], Any], size: Size, notes: list[str]) -> Any:
    try:
        return of(size)
    except (NotDerivable, UnknownLoadIndex) as error:
        notes.append(str(error))
        return None


def _age(code: DateCode, on: date) -> str | None:
    age = code.age_on(on)
    return None if age is None else str(age)


def _dated(code: DateCode) -> dict[str, Any]:
    told = {field.name: getattr(code, field.name) for field in fields(code)}
    return {**told, "words": code.words}
