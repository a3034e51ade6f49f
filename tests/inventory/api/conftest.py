"""Throttles count in the cache, which outlives a test."""

from __future__ import annotations

import pytest
from django.core.cache import cache


@pytest.fixture(autouse=True)
def _nobody_has_asked_too_often():
    cache.clear()
