"""How the API describes itself."""

from __future__ import annotations

from drf_spectacular.openapi import AutoSchema


class ProblemSchema(AutoSchema):
    """Every operation also tells which problems it answers with."""
