"""Steps that may break holds, for want of tyres: the answer names those that they broke."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.api.acting import Acting, Nothing
from inventory.ground.rest.serializers import given
from inventory.models.hold import Hold


def broken_holds() -> serializers.ListField:
    """The numbers of the holds that a step broke, youngest first; whoever waits is to be told."""
    return serializers.ListField(child=serializers.CharField(), read_only=True)


def with_broken(answer: Response, broken: Iterable[Hold]) -> Response:
    """The answer of a step with the holds that it broke."""
    answer.data["broken_holds"] = [hold.number for hold in broken]
    return answer


class Breaking(Acting):
    """Documents of which a step may break holds."""

    def breaking(
        self,
        request: Request,
        work: Callable[..., tuple[Any, Iterable[Hold]]],
        body: type[serializers.Serializer[Any]] = Nothing,
    ) -> Response:
        """Do one step with what was sent, and answer with the document and what it broke."""
        row = self.get_object()
        values = given(body(data=request.data))
        _, broken = work(**{self.called: row}, by=request.user, at=timezone.now(), **values)
        return with_broken(self.told(self.again(row)), broken)
