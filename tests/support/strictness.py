"""What would pass unseen in production fails here."""

from __future__ import annotations

import random
import re
import sys
from pathlib import Path

import pytest
from django.conf import settings
from django.core.cache import cache
from django.db import models
from django.template.base import Node
from django.test import Client, override_settings

ROOT = Path(__file__).resolve().parent.parent.parent
OURS = ("ground", "inventory", "fitments", "stockist")

_INLINE = {
    "an inline script": re.compile(r"<script(?![^>]*\ssrc=)[^>]*>", re.I),
    "an inline style sheet": re.compile(r"<style[\s>]", re.I),
    "a style attribute": re.compile(r"<[^>]+\sstyle\s*=", re.I),
    "an event attribute": re.compile(r"<[^>]+\son[a-z]+\s*=", re.I),
    "a template tag that was not rendered": re.compile(r"\{\{|\{%|\{#"),
}


class UnknownVariable(str):
    """What Django prints for a variable that a template asks for and nobody gave: it fails."""

    def __contains__(self, what: object) -> bool:
        return what == "%s"

    def __mod__(self, variable: object) -> str:
        template = _innermost_template()
        if template and _is_ours(template):
            pytest.fail(f"{template} asks for {variable}, which is not in its context")
        return ""


class StrictClient(Client):
    """Django's test client; a page of ours with inline script or style fails the test."""

    def request(self, **request):
        response = super().request(**request)
        path = request.get("PATH_INFO", "")
        is_page = response.headers.get("Content-Type", "").startswith("text/html")
        if is_page and not response.streaming and not path.startswith("/admin/"):
            refuse_inline(response.content.decode(), path)
        return response


def refuse_inline(page: str, path: str) -> None:
    """Fail if a page holds what the content security policy would block, or a raw template tag."""
    for what, pattern in _INLINE.items():
        found = pattern.search(page)
        assert not found, f"{path} holds {what}: {page[found.start() : found.start() + 90]!r}"


@pytest.fixture(autouse=True, scope="session")
def _templates_fail_on_unknown_variables():
    settings.TEMPLATES[0]["OPTIONS"]["string_if_invalid"] = UnknownVariable()


@pytest.fixture(autouse=True, scope="session")
def _cheap_passwords():
    with override_settings(PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"]):
        yield


@pytest.fixture(autouse=True)
def _nobody_has_asked_too_often_yet():
    cache.clear()


@pytest.fixture
def client():
    return StrictClient()


@pytest.fixture(autouse=True, scope="session")
def _rows_without_an_order_come_shuffled():
    """A queryset of ours that asks for no order gets none, so that nothing leans on luck."""
    plain = models.QuerySet._fetch_all

    def fetch(self):
        fresh = self._result_cache is None
        plain(self)
        if fresh and not self.ordered and self.model._meta.app_label in OURS:
            random.shuffle(self._result_cache)

    models.QuerySet._fetch_all = fetch
    yield
    models.QuerySet._fetch_all = plain


def _innermost_template() -> str | None:
    frame = sys._getframe(2)
    while frame is not None:
        node = frame.f_locals.get("self")
        if isinstance(node, Node) and getattr(node, "origin", None) is not None:
            return str(node.origin.name)
        frame = frame.f_back
    return None


def _is_ours(template: str) -> bool:
    path = Path(template)
    return path.is_relative_to(settings.BASE_DIR) and "site-packages" not in path.parts
