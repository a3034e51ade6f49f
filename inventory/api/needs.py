"""What a set should be, over the API: the places on the car, and which tyres may stand there."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from drf_spectacular.utils import OpenApiExample, extend_schema_serializer
from rest_framework import serializers

from inventory.activities import recipes
from inventory.activities.holding import Part
from inventory.api.acting import row
from inventory.availability import Need
from inventory.ground.rest.serializers import Strict
from inventory.models.companion import RimKind
from inventory.models.lot import Lot
from inventory.models.place import Place, Site
from inventory.models.sku import Sku
from inventory.sets import HOUSE_TOLERANCE_WEEKS, BadRecipe, Prefer

MOST_SKUS, MOST_PLACES, MOST_COUNT = 50, 8, 100


def how_many(**options: Any) -> serializers.IntegerField:
    """So many tyres of one place on the car."""
    return serializers.IntegerField(min_value=0, max_value=MOST_COUNT, default=0, **options)


class PlaceAskedSerializer(Strict):
    """One place on the car: `count` tyres alike, or so many `left` and `right` ones."""

    name = serializers.CharField(max_length=20)
    skus = serializers.ListField(
        child=row(Sku), allow_empty=False, max_length=MOST_SKUS
    )  # fmt: skip
    count = how_many()
    left = how_many()
    right = how_many()
    tolerance_weeks = serializers.IntegerField(
        min_value=0, max_value=520, allow_null=True, default=HOUSE_TOLERANCE_WEEKS
    )
    same_delivery = serializers.BooleanField(default=False)
    marks = serializers.ListField(
        child=serializers.CharField(max_length=45), required=False, max_length=20
    )


@extend_schema_serializer(
    examples=[
        OpenApiExample(
            "two in front, two behind",
            {"places": [
                {"name": "front", "skus": [14], "count": 2},
                {"name": "rear", "skus": [14], "count": 2},
            ]},
        )
    ]
)  # fmt: skip
class NeedSerializer(Strict):
    """One set, as the shelf is asked for it."""

    places = PlaceAskedSerializer(many=True, allow_empty=False, max_length=MOST_PLACES)  # type: ignore[call-arg]
    car_tolerance_weeks = serializers.IntegerField(
        min_value=0, max_value=520, allow_null=True, required=False
    )
    oldest_week = serializers.IntegerField(allow_null=True, required=False)
    allow_undated = serializers.BooleanField(default=True)
    prefer = serializers.ChoiceField([str(one) for one in Prefer], default=str(Prefer.OLDEST))
    site = row(Site, required=False, allow_null=True)
    rim_kind = serializers.ChoiceField(RimKind.choices, default="", allow_blank=True)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        """As the activities take it: under `need`."""
        told = {**attrs}
        site, rim_kind = told.pop("site", None), told.pop("rim_kind")
        told["places"] = [_place(one) for one in told["places"]]
        try:
            recipe = recipes.recalled(told)
        except BadRecipe as bad:
            raise serializers.ValidationError(str(bad)) from bad
        return {"need": Need(None, recipe, site.pk if site else None, rim_kind)}


def _place(asked: Mapping[str, Any]) -> dict[str, Any]:
    return {**asked, "skus": [sku.pk for sku in asked["skus"]]}


class PartSerializer(Strict):
    """So many of a lot in a place, for one place on the car ("" for pieces)."""

    for_place = serializers.CharField(max_length=20, allow_blank=True, default="")
    lot = row(Lot)
    place = row(Place)
    quantity = serializers.IntegerField()


def parts(told: Any) -> tuple[Part, ...] | None:
    """The lots that were named, as the activities take them; None where none were."""
    if told is None:
        return None
    return tuple(
        Part(one["for_place"], one["lot"].pk, one["place"].pk, one["quantity"]) for one in told
    )


def shown() -> PartSerializer:
    """The lots that the customer was shown."""
    return PartSerializer(many=True, required=False, allow_null=True, max_length=40)  # type: ignore[call-arg]
