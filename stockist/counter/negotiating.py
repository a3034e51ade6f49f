"""Which form an answer takes, where there is only one: not worked out for who takes any."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from rest_framework.negotiation import DefaultContentNegotiation
from rest_framework.renderers import BaseRenderer
from rest_framework.request import Request


class OnlyForm(DefaultContentNegotiation):
    """As the framework has it; at once where the only form there is is asked for, or any."""

    def select_renderer(
        self,
        request: Request,
        renderers: Iterable[BaseRenderer],
        format_suffix: str | None = None,
    ) -> tuple[BaseRenderer, Any]:
        only, *others = forms = list(renderers)
        named = format_suffix or request.query_params.get(self.settings.URL_FORMAT_OVERRIDE)
        accepted = request.META.get("HTTP_ACCEPT", "*/*")
        if not others and not named and accepted in ("*/*", only.media_type):
            return only, only.media_type
        chosen: tuple[BaseRenderer, Any] = super().select_renderer(request, forms, format_suffix)
        return chosen
