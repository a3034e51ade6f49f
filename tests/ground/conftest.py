from __future__ import annotations

import pytest

from tests.ground import calls


@pytest.fixture
def small_api(settings):
    """The small API of `tests/ground/urls.py` in place of the shop's."""
    settings.ROOT_URLCONF = "tests.ground.urls"
    yield
    calls.forget()
