"""What a document goes through, over the API: each step is one call of an activity."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar

from django.db.models import Model
from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.ground.rest.serializers import Strict, given
from inventory.ground.rest.views import Listed


class Nothing(Strict):
    """A step that is told nothing more."""


class SeenSerializer(Strict):
    """`seen`: the version that was looked at; the step is refused where it has changed since."""

    seen = serializers.IntegerField(min_value=1, required=False)


class WhySerializer(SeenSerializer):
    """Why it ends."""

    why = serializers.CharField(max_length=240)


class Acting(Listed):
    """Documents that are written step by step; the activities call the document `called`."""

    called: ClassVar[str]

    def step(
        self,
        request: Request,
        work: Callable[..., Any],
        body: type[serializers.Serializer[Any]] = Nothing,
    ) -> Response:
        """Do one step with what was sent, and answer with the document as it is now."""
        row = self.get_object()
        values = given(body(data=request.data))
        work(**{self.called: row}, by=request.user, at=timezone.now(), **values)
        return self.told(self.again(row))


def row(model: type[Model], **options: Any) -> serializers.PrimaryKeyRelatedField[Any]:
    """A row that is there, by its number."""
    return serializers.PrimaryKeyRelatedField(queryset=model._default_manager.all(), **options)
