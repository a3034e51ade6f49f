"""The API's own doors: its description of itself, and who gets in."""

from __future__ import annotations

import pytest
from django.contrib.auth.models import Group
from rest_framework.request import Request
from rest_framework.test import APIClient, APIRequestFactory
from rest_framework.viewsets import ReadOnlyModelViewSet

from inventory.ground.permissions import MayByModel
from inventory.models.sku import Sku
from tests.factories.people import UserFactory
from tests.support.people import with_role

pytestmark = pytest.mark.django_db


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
