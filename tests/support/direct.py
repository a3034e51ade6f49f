"""Asking a view itself, without the middleware: for the many requests that are about one table.

That people are signed in, who may not come in at all, and what every answer carries is asked of
the whole shop elsewhere; here a page costs what the page does.
"""

from __future__ import annotations

import json

from django.contrib.auth.models import User
from django.contrib.messages.storage.cookie import CookieStorage
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.test import RequestFactory
from django.urls import resolve
from rest_framework.test import APIRequestFactory, force_authenticate


class Direct:
    """A person who asks views; `get` and `post` answer as the test client's do."""

    def __init__(self, person: User) -> None:
        self.person = person
        self.factory = RequestFactory()

    def get(self, address: str, query: dict | None = None) -> HttpResponse:
        return self._answer(self._known(self.factory.get(address, query)))

    def post(self, address: str, form: dict) -> HttpResponse:
        return self._answer(self._known(self.factory.post(address, form)))

    def status(self, address: str) -> int:
        """Of a GET, without writing the page."""
        return self._said(self._known(self.factory.get(address))).status_code

    def _known(self, request):
        request.user = self.person
        request._messages = CookieStorage(request)
        request._dont_enforce_csrf_checks = True
        return request

    def _said(self, request) -> HttpResponse:
        found = resolve(request.path_info)
        try:
            return found.func(request, *found.args, **found.kwargs)
        except PermissionDenied:
            return HttpResponse(status=403)
        except Http404:
            return HttpResponse(status=404)

    def _answer(self, request) -> HttpResponse:
        answer = self._said(request)
        return answer.render() if hasattr(answer, "render") else answer


class DirectApi(Direct):
    """The same for views of the API; what they answer has `json()`."""

    def __init__(self, person: User) -> None:
        super().__init__(person)
        self.factory = APIRequestFactory()

    def _known(self, request):
        force_authenticate(request, self.person)
        return request

    def _answer(self, request) -> HttpResponse:
        answer = super()._answer(request)
        answer.json = lambda: json.loads(answer.content)
        return answer
