"""Two addresses for whoever watches the house: is it alive, and can it work."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from stockist.health.readiness import FINE, readiness


@never_cache
@require_safe
def alive(request: HttpRequest) -> HttpResponse:
    """The process answers; nothing else is asked."""
    return HttpResponse("alive\n", content_type="text/plain")


@never_cache
@require_safe
def ready(request: HttpRequest) -> HttpResponse:
    """200 if everything that the house stands on is in order, else 503, and what is not."""
    parts = readiness()
    fine = all(told == FINE for told in parts.values())
    return JsonResponse({"ready": fine, "parts": parts}, status=200 if fine else 503)
