"""Handing a file out: always to be saved, never to be opened inside a page of ours."""

from __future__ import annotations

from django.http import HttpResponse
from django.utils.http import content_disposition_header


def attachment(content: bytes, *, name: str, media_type: str) -> HttpResponse:
    """An answer that a browser saves: not guessed at, not run, not kept by anybody between."""
    answer = HttpResponse(content, content_type=media_type)
    answer["Content-Disposition"] = content_disposition_header(True, name) or "attachment"
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Content-Security-Policy"] = "default-src 'none'; sandbox"
    answer["Cross-Origin-Resource-Policy"] = "same-origin"
    answer["Cache-Control"] = "private, no-store"
    return answer
