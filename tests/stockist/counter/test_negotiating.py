"""The form of an answer is the framework's choice, whatever is asked for."""

from __future__ import annotations

import pytest
from django.http import Http404
from rest_framework.exceptions import NotAcceptable
from rest_framework.negotiation import DefaultContentNegotiation
from rest_framework.renderers import JSONRenderer
from rest_framework.request import Request
from rest_framework.test import APIRequestFactory

from stockist.counter.negotiating import OnlyForm
from stockist.counter.told_rows import WrittenRenderer

ACCEPTED = (
    *(None, "*/*", "application/json", "application/*", "application/json; indent=4"),
    *("text/html", "text/html, */*;q=0.1", "nonsense", ""),
)


def chosen(kind, accepted, renderers, **asked):
    headers = {} if accepted is None else {"HTTP_ACCEPT": accepted}
    request = Request(APIRequestFactory().get("/", asked, **headers))
    try:
        renderer, media_type = kind().select_renderer(request, renderers)
    except (NotAcceptable, Http404) as refused:
        return type(refused)
    return renderer, media_type


@pytest.mark.parametrize("asked", [{}, {"format": "json"}, {"format": "xml"}, {"format": ""}])
@pytest.mark.parametrize("accepted", ACCEPTED)
def test_the_same_is_chosen_or_refused(accepted, asked):
    for renderers in ([WrittenRenderer()], [JSONRenderer(), WrittenRenderer()]):
        plainly = chosen(DefaultContentNegotiation, accepted, renderers, **asked)
        assert chosen(OnlyForm, accepted, renderers, **asked) == plainly


def test_what_nobody_makes_is_refused():
    assert chosen(OnlyForm, "text/html", [WrittenRenderer()]) is NotAcceptable
    assert chosen(OnlyForm, "*/*", [WrittenRenderer()], format="xml") is Http404
