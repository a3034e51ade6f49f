"""Moves and corrections over the API: each books one posting."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar

from django.utils import timezone
from drf_spectacular.utils import OpenApiExample, extend_schema, extend_schema_serializer
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.viewsets import GenericViewSet

from inventory.activities import correcting, moving
from inventory.api.postings import Postings, PostingSerializer
from inventory.ground.idempotency import once
from inventory.ground.rest.serializers import Strict, given
from inventory.models.lot import Lot
from inventory.models.place import Place
from inventory.models.posting import Posting

MOST_STEPS = 500
LONGEST_REASON = 500


def row(model: Any) -> serializers.PrimaryKeyRelatedField[Any]:
    """A row that is there, by its number."""
    return serializers.PrimaryKeyRelatedField(queryset=model._default_manager.all())


class StepSerializer(Strict):
    """So many free tyres of a lot from one place to another."""

    lot = row(Lot)
    source = row(Place)  # type: ignore[assignment]
    target = row(Place)
    quantity = serializers.IntegerField()


@extend_schema_serializer(
    examples=[
        OpenApiExample(
            "a van loaded",
            {
                "document": "Fellside, 3 May",
                "steps": [{"lot": 71, "source": 4, "target": 90, "quantity": 2}],
            },
        )
    ]
)
class MoveSerializer(Strict):
    """Several moves as one posting: all of them or none."""

    steps = StepSerializer(many=True, allow_empty=False, max_length=MOST_STEPS)  # type: ignore[call-arg]
    document = serializers.CharField(max_length=60, allow_blank=True, default="")
    note = serializers.CharField(max_length=500, allow_blank=True, default="")


class TakeBackSerializer(Strict):
    """A posting taken back whole, and why."""

    posting = row(Posting)
    why = serializers.CharField(max_length=LONGEST_REASON)


class RecountSerializer(Strict):
    """What was counted of a lot in a place, and why the ledger is to say so."""

    lot = row(Lot)
    place = row(Place)
    counted = serializers.IntegerField()
    why = serializers.CharField(max_length=LONGEST_REASON)


class MisreadSerializer(Strict):
    """Tyres booked out of the lot they were taken for, and into the one they are of."""

    lot = row(Lot)
    into = row(Lot)
    place = row(Place)
    quantity = serializers.IntegerField()
    why = serializers.CharField(max_length=LONGEST_REASON)


class Booking(GenericViewSet[Any]):
    """One thing booked by an activity; the answer is the posting that it made."""

    queryset = Postings.queryset
    filter_backends = ()
    pagination_class = None
    book: ClassVar[Callable[..., Posting]]

    @extend_schema(responses={201: PostingSerializer})
    @once
    def create(self, request: Request) -> Response:
        values = self.words(given(self.get_serializer(data=request.data)))
        made = type(self).book(by=request.user, at=timezone.now(), **values)
        posting = self.get_queryset().get(pk=made.pk)
        address = request.build_absolute_uri(f"/api/v1/postings/{made.pk}/")
        return Response(PostingSerializer(posting).data, 201, headers={"Location": address})

    def words(self, values: dict[str, Any]) -> dict[str, Any]:
        """What was sent, as the activity takes it."""
        return values


class Moves(Booking):
    """Move free tyres from place to place; between sites by way of a place in transit."""

    serializer_class = MoveSerializer
    book = staticmethod(moving.move_together)

    def words(self, values: dict[str, Any]) -> dict[str, Any]:
        steps = [moving.Step(**step) for step in values["steps"]]
        return {**values, "steps": steps}


class TakenBack(Booking):
    """Book the opposite of a whole posting, once."""

    serializer_class = TakeBackSerializer
    book = staticmethod(correcting.take_back)


class Recounts(Booking):
    """Make the ledger say what was counted of a lot in a place."""

    serializer_class = RecountSerializer
    book = staticmethod(correcting.recount)


class Misreadings(Booking):
    """A misread sidewall: the tyres go into the lot that they are of, where they lie."""

    serializer_class = MisreadSerializer
    book = staticmethod(correcting.misread)
