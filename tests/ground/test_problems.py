"""Whatever goes wrong, the API answers with problem details as RFC 9457 has them."""

from __future__ import annotations

import psycopg
import pytest
from django.contrib.auth.models import Group
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import DataError, IntegrityError, OperationalError
from django.db.models import RestrictedError
from django.http import Http404
from rest_framework import exceptions

from inventory.ground.problems import answer_problem, problem
from inventory.ground.refusal import Busy, Refusal, StaleVersion
from tests.factories.people import UserFactory
from tests.ground import calls

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("small_api")]


class ShelfIsFull(Refusal):
    sentence = "The shelf is full."


def answer(api, error: Exception):
    calls.to_raise.append(error)
    return api().get("/raising/")


def caused(error: Exception, cause: Exception) -> Exception:
    error.__cause__ = cause
    return error


@pytest.mark.parametrize(
    ("error", "status", "code"),
    [
        (ShelfIsFull(), 409, "shelf-is-full"),
        (StaleVersion(), 412, "stale-version"),
        (Busy(), 503, "busy"),
        (Http404(), 404, "not-found"),
        (PermissionDenied(), 403, "permission-denied"),
        (exceptions.NotAuthenticated(), 401, "not-authenticated"),
        (exceptions.ParseError(), 400, "parse-error"),
        (exceptions.MethodNotAllowed("GET"), 405, "method-not-allowed"),
        (exceptions.UnsupportedMediaType("text/x"), 415, "unsupported-media-type"),
        (exceptions.Throttled(wait=7), 429, "throttled"),
        (exceptions.ValidationError({"name": ["No."]}), 400, "invalid"),
        (ValidationError({"name": "No."}), 400, "invalid"),
        (ValidationError("No."), 400, "invalid"),
        (RestrictedError("no", [Group()]), 409, "violated"),
        (IntegrityError("no"), 409, "violated"),
        (DataError("no"), 400, "violated"),
        (OperationalError("no"), 503, "no-database"),
        (caused(OperationalError(), psycopg.errors.DeadlockDetected()), 503, "busy"),
    ],
)
def test_every_kind_has_its_status_code_and_shape(api, error, status, code):
    found = answer(api, error)
    body = found.json()
    assert found["Content-Type"] == "application/problem+json"
    assert (found.status_code, body["status"], body["code"]) == (status, status, code)
    assert body["type"] == f"/api/v1/problems/{code}/"
    assert body["title"]
    assert body["detail"]


def test_the_field_of_a_refusal_is_pointed_at(api):
    body = answer(api, ShelfIsFull(field="place")).json()
    assert body["errors"] == [
        {"pointer": "/place", "detail": "The shelf is full.", "code": "shelf-is-full"}
    ]


def test_nested_rows_are_pointed_at_by_their_place(api):
    error = exceptions.ValidationError({"lines": [{}, {"quantity": ["Not a number."]}]})
    body = answer(api, error).json()
    assert [each["pointer"] for each in body["errors"]] == ["/lines/1/quantity"]
    assert body["detail"] == "Not a number."


def test_signs_that_mean_something_in_a_pointer_are_written_so(api):
    body = answer(api, exceptions.ValidationError({"a/b~c": ["No."]})).json()
    assert body["errors"][0]["pointer"] == "/a~1b~0c"


def test_what_is_wrong_with_the_whole_points_at_the_whole(api):
    for error in (exceptions.ValidationError(["No."]), ValidationError("No.")):
        assert answer(api, error).json()["errors"][0]["pointer"] == ""


def test_several_errors_are_all_told(api):
    error = exceptions.ValidationError({"a": ["One.", "Two."], "b": ["Three.", "One."]})
    body = answer(api, error).json()
    assert len(body["errors"]) == 4
    assert body["detail"] == "One. Two. Three."


def test_how_long_to_wait_is_said_in_the_header_too(api):
    assert answer(api, exceptions.Throttled(wait=7))["Retry-After"] == "7"
    assert answer(api, Busy())["Retry-After"] == "1"


def test_a_refused_write_says_which_input(api):
    caller = api(UserFactory())
    headers = {"Idempotency-Key": "k"}
    found = caller.post("/groups/", {"name": "silly"}, headers=headers)
    assert found.json()["errors"][0]["pointer"] == "/name"
    assert found["Content-Type"] == "application/problem+json"


def test_broken_json_is_told(api):
    caller = api(UserFactory())
    found = caller.post(
        "/groups/", "{", content_type="application/json", headers={"Idempotency-Key": "k"}
    )
    assert found.status_code == 400
    assert "JSON" in found.json()["detail"]


def test_what_nobody_anticipated_is_left_to_the_page_for_faults():
    assert answer_problem(RuntimeError("?"), {}) is None


def test_a_problem_without_errors_has_no_empty_list():
    assert "errors" not in problem(409, "No.", "no", [])
