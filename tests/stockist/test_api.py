"""The API's own doors: tokens, its description of itself, what a problem means, who gets in."""

from __future__ import annotations

import base64

import pytest
from django.contrib.auth.models import Group
from rest_framework.request import Request
from rest_framework.test import APIClient, APIRequestFactory
from rest_framework.viewsets import ReadOnlyModelViewSet

from inventory.ground.permissions import MayByModel
from inventory.models.sku import Sku
from tests.factories.people import UserFactory
from tests.support.people import PASSWORD, with_role

pytestmark = pytest.mark.django_db


def basic(name: str, password: str) -> dict[str, str]:
    return {"Authorization": "Basic " + base64.b64encode(f"{name}:{password}".encode()).decode()}


def token_for(person) -> str:
    answer = APIClient().post("/api/v1/tokens/", headers=basic(person.username, PASSWORD))
    assert answer.status_code == 200
    return answer.json()["token"]


def test_a_name_and_password_give_a_token_that_opens_the_api():
    token = token_for(with_role("counter"))
    answer = APIClient().get("/api/v1/", headers={"Authorization": f"Token {token}"})
    assert answer.status_code == 200


def test_a_token_is_kept_as_a_digest_only():
    person = with_role("counter")
    token = token_for(person)
    kept = person.auth_token_set.get()
    assert token not in (kept.digest, kept.token_key)
    assert kept.expiry is not None


def test_a_forgotten_token_opens_nothing():
    person = with_role("counter")
    token, other = token_for(person), token_for(person)
    headers = {"Authorization": f"Token {token}"}
    assert APIClient().post("/api/v1/tokens/forget/", headers=headers).status_code == 204
    assert APIClient().get("/api/v1/", headers=headers).status_code == 401
    headers = {"Authorization": f"Token {other}"}
    assert APIClient().post("/api/v1/tokens/forget-all/", headers=headers).status_code == 204
    assert APIClient().get("/api/v1/", headers=headers).status_code == 401


def test_a_wrong_password_gives_no_token():
    with_role("counter")
    answer = APIClient().post("/api/v1/tokens/", headers=basic("counter", "guess"))
    assert answer.status_code == 401


def test_guessing_is_stopped_after_five_tries():
    person = with_role("counter")
    for _ in range(5):
        APIClient().post("/api/v1/tokens/", headers=basic("counter", "guess"))
    answer = APIClient().post("/api/v1/tokens/", headers=basic(person.username, PASSWORD))
    assert answer.status_code in {401, 403, 429}
    assert not person.auth_token_set.exists()


@pytest.mark.parametrize("path", ["", "schema/", "docs/"])
def test_strangers_are_asked_to_sign_in(path):
    answer = APIClient().get(f"/api/v1/{path}")
    assert answer.status_code == 401
    assert answer["WWW-Authenticate"].startswith("Token")


def test_the_description_tells_problems_and_comes_without_warnings(api):
    answer = api("counter").get("/api/v1/schema/?format=json")
    assert answer.status_code == 200
    described = answer.json()
    problem = described["components"]["schemas"]["Problem"]
    assert {"type", "title", "status", "detail", "code"} <= set(problem["required"])
    for path, operations in described["paths"].items():
        for operation in operations.values():
            assert "application/problem+json" in operation["responses"]["401"]["content"], path


def test_the_documents_load_nothing_from_elsewhere(api):
    page = api("counter").get("/api/v1/docs/").content.decode()
    assert "//cdn" not in page
    assert "https://" not in page


def test_what_a_problem_means_can_be_looked_up():
    answer = APIClient().get("/api/v1/problems/stale-version/")
    assert answer.json()["meaning"].startswith("What was to be changed has been changed")
    assert APIClient().get("/api/v1/problems/no-such-thing/").status_code == 404


class Skus(ReadOnlyModelViewSet):
    queryset = Sku.objects.none()
    permission_classes = (MayByModel,)


class Named(ReadOnlyModelViewSet):
    queryset = Sku.objects.none()
    permission_classes = (MayByModel,)
    required_permissions = {"GET": ["inventory.view_supplier"]}


def ask(method: str, person) -> Request:
    request = Request(APIRequestFactory().generic(method, "/"))
    request.user = person
    return request


@pytest.mark.parametrize(
    ("view", "method", "role", "may"),
    [
        (Skus, "GET", "counter", True),
        (Skus, "POST", "counter", False),
        (Skus, "POST", "buyer", True),
        (Skus, "DELETE", "buyer", False),
        (Skus, "OPTIONS", "counter", True),
        (Named, "GET", "counter", False),
        (Named, "GET", "buyer", True),
        (Named, "HEAD", "buyer", True),
        (Named, "POST", "owner", False),
    ],
)
def test_who_may_do_what_follows_from_the_role(view, method, role, may):
    asked = ask(method, with_role(role))
    assert MayByModel().has_permission(asked, view()) is may


def test_a_person_without_a_role_may_nothing():
    asked = ask("GET", UserFactory())
    for view in (Skus, Named):
        assert MayByModel().has_permission(asked, view()) is False
    assert Group.objects.count() == 4
