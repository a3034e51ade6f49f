"""What people and programs read when an address, a role or the shop's own program is wrong."""

from __future__ import annotations

import pytest
from django.contrib.auth.models import AnonymousUser
from django.test import Client, RequestFactory

from stockist.faults import broken, form_expired, not_allowed

pytestmark = pytest.mark.django_db


@pytest.fixture
def page_request():
    request = RequestFactory().get("/counter/")
    request.user = AnonymousUser()
    return request


def test_a_program_is_told_of_an_address_that_is_not_there(client):
    answer = client.get("/api/v1/nothing/here/")
    assert answer.status_code == 404
    assert answer["Content-Type"] == "application/problem+json"
    assert answer.json()["code"] == "not-found"


def test_a_person_is_told_so_on_a_page(client):
    answer = client.get("/nothing/here/")
    assert answer.status_code == 404
    assert "There is no such page" in answer.content.decode()


@pytest.mark.parametrize(
    ("page", "status", "words"),
    [
        (lambda request: not_allowed(request, PermissionError()), 403, "Your role may not"),
        (form_expired, 403, "open for too long"),
        (broken, 500, "the fault is in the log"),
    ],
)
def test_each_fault_has_its_page(page_request, page, status, words):
    answer = page(page_request)
    assert answer.status_code == status
    assert words in answer.content.decode()


def test_a_broken_program_shows_nothing_of_its_inside():
    request = RequestFactory().get("/api/v1/skus/")
    answer = broken(request)
    assert answer.status_code == 500
    assert b"Nothing was changed" in answer.content


def test_a_form_without_its_token_is_explained():
    strict = Client(enforce_csrf_checks=True)
    answer = strict.post("/sign-in/", {"username": "edda", "password": "x"})
    assert answer.status_code == 403
    assert "open for too long" in answer.content.decode()
