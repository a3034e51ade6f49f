"""Which form an answer takes, where there is only one: not worked out for who takes any."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rest_framework.negotiation import DefaultContentNegotiation
from rest_framework.renderers import BaseRenderer
from rest_framework.request import Request


class OnlyForm(DefaultContentNegotiation):
    """As the framework has it; at once where the only form there is is asked for, or any."""

    def select_renderer(
        self,
        request: Request,
        renderers: Sequence[BaseRenderer],
        format_suffix: str | None = None,
    ) -> tuple[BaseRenderer, Any]:
        only = renderers[0]
        named = format_suffix or request.query_params.get(self.settings.URL_FORMAT_OVERRIDE)
        accepted = request.META.get("HTTP_ACCEPT", "*/*")
        if len(renderers) == 1 and not named and accepted in ("*/*", only.media_type):
            return only, only.media_type
        return super().select_renderer(request, renderers, format_suffix)
