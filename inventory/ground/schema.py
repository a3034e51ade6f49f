"""How the API describes itself: every operation tells the problems it may answer with."""

from __future__ import annotations

from typing import Any, Literal

from drf_spectacular.openapi import AutoSchema
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse

from inventory.ground.idempotency import HEADER
from inventory.ground.problems import MEDIA_TYPE, ProblemSerializer

Direction = Literal["request", "response"]

_ALWAYS = {
    400: "What was sent cannot be used; `errors` says where",
    401: "Not signed in",
    403: "Signed in, but this role may not do that",
    429: "Too many requests; `Retry-After` says for how long to wait",
    503: "Busy; send it again",
}
_ONE = {404: "There is no such thing"}
_WRITING = {
    409: "A rule of the shop forbids it, or something else rests on it",
    412: "Somebody else has changed it since it was looked at",
    415: "Sent in a form that is not taken here",
    422: "A row cannot be entered as it is, or the key was used for another request",
}


class ProblemSchema(AutoSchema):
    """drf-spectacular's description, with problems added to every operation."""

    def get_override_parameters(self) -> list[Any]:
        parameters = list(super().get_override_parameters())
        if getattr(self._handler(), "takes_key", False):
            parameters.append(
                OpenApiParameter(
                    HEADER,
                    str,
                    OpenApiParameter.HEADER,
                    required=True,
                    description="Your own key for this write; the same key never does it twice",
                )
            )
        return parameters

    def _handler(self) -> Any:
        name = getattr(self.view, "action", None) or self.method.lower()
        return getattr(self.view, name, None)

    def _get_response_bodies(self, direction: Direction = "response") -> dict[str, Any]:
        bodies: dict[str, Any] = super()._get_response_bodies(direction)
        for status, words in self._problems().items():
            if str(status) not in bodies:
                response = OpenApiResponse(ProblemSerializer, description=words)
                bodies[str(status)] = self._get_response_for_code(  # type: ignore[no-untyped-call]
                    response, str(status), media_types=[MEDIA_TYPE], direction=direction
                )
        return bodies

    def _problems(self) -> dict[int, str]:
        found = dict(_ALWAYS)
        if "{" in self.path:
            found |= _ONE
        if self.method in {"POST", "PUT", "PATCH", "DELETE"}:
            found |= _WRITING
        return found
