"""What every resource of the API does alike: list, read, and enter or change by an activity."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, ClassVar

from django.db.models import Model, OuterRef, QuerySet, Subquery
from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.mixins import ListModelMixin, RetrieveModelMixin
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.viewsets import GenericViewSet

from inventory.ground.idempotency import once
from inventory.ground.rest import versions
from inventory.ground.rest.filtering import StrictFilters
from inventory.ground.rest.ordering import Orderings
from inventory.ground.rest.serializers import given


class Listed(ListModelMixin, RetrieveModelMixin, GenericViewSet[Any]):
    """Rows that can be listed, filtered, put in order and read one by one by their number."""

    filter_backends: Sequence[Any] = (StrictFilters, Orderings)
    orderings: ClassVar[Mapping[str, str]] = {"id": "pk"}
    default_ordering: ClassVar[str] = "id"
    lookup_value_regex = "[0-9]{1,18}"
    required_permissions: Mapping[str, Sequence[str]] | None = None

    def retrieve(self, request: Request, *args: Any, **kwargs: Any) -> Response:
        return self.told(self.get_object())

    def told(self, row: Any, status: int = 200, **headers: str) -> Response:
        """The answer that shows one row, with its version where it keeps a history."""
        version = versions.tag(getattr(row, "version", None))
        return Response(self.get_serializer(row).data, status=status, headers=version | headers)

    def again(self, row: Model) -> Any:
        """A row that was just written, with everything that the answer shows."""
        return self.get_queryset().get(pk=row.pk)

    def entered(self, request: Request, row: Model) -> Response:
        """The answer to a row that was entered: it, and where it is found from now on."""
        address = request.build_absolute_uri(f"{request.path.rstrip('/')}/{row.pk}/")
        return self.told(self.again(row), 201, Location=address)


class Entered(Listed):
    """Rows that can also be entered, by an activity's function `make`."""

    make: ClassVar[Callable[..., Model]]

    @once
    def create(self, request: Request) -> Response:
        """Enter a row."""
        values = given(self.get_serializer(data=request.data))
        row = type(self).make(by=request.user, at=timezone.now(), **values)
        return self.entered(request, row)


class Kept(Entered):
    """Rows that can also be changed, by an activity's `change`, which calls the row `called`."""

    change: ClassVar[Callable[..., Model]]
    called: ClassVar[str]

    @once
    def partial_update(self, request: Request, pk: str) -> Response:
        """Change what is given of a row."""
        return self.changed(request, {})

    def changed(self, request: Request, seen: Mapping[str, Any]) -> Response:
        """Change the row of the address, and answer with it as it is now."""
        row = self.get_object()
        values = given(self.get_serializer(row, data=request.data, partial=True))
        named = {self.called: row, **values, **seen}
        after = type(self).change(by=request.user, at=timezone.now(), **named)
        return self.told(self.again(after))


MATCH = OpenApiParameter(
    versions.HEADER,
    str,
    OpenApiParameter.HEADER,
    required=True,
    description='The ETag of the answer that was read, such as "41", or * for whatever is there',
)


class Versioned(Kept):
    """Rows with a history: a change says which version it is a change of, or is refused."""

    @extend_schema(parameters=[MATCH])
    @once
    def partial_update(self, request: Request, pk: str) -> Response:
        """Change what is given of a row, unless somebody else has changed it meanwhile."""
        return self.changed(request, {"seen": versions.seen(request)})

    def get_queryset(self) -> QuerySet[Any]:
        return with_version(super().get_queryset())


def with_version(rows: QuerySet[Any]) -> QuerySet[Any]:
    """Rows with the number of their latest version as `version`."""
    history: Any = rows.model.history
    latest = history.model.objects.filter(id=OuterRef("pk")).order_by("-history_id")
    annotated: QuerySet[Any] = rows.annotate(version=Subquery(latest.values("history_id")[:1]))
    return annotated
