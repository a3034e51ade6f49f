"""Every resource of cars and approvals x role x method: the role's permissions decide."""

from __future__ import annotations

import pytest

from fitments.api.urls import RESOURCES
from stockist.roles import ROLES, permissions_of
from tests.factories.approvals import ApprovalFactory, EvidenceFactory
from tests.support.calling import ROOT, refused, write

pytestmark = pytest.mark.django_db
NEEDS = {"get": "view", "post": "add", "patch": "change", "put": "change", "delete": "delete"}
# Written out by hand, so that a slip in roles.py is seen here.
WRITERS = {
    "car-makers": {"buyer", "owner"},
    "variants": {"buyer", "owner"},
    "fitments": {"buyer", "owner"},
    "identified-cars": {"counter", "owner"},
    "organisers": {"owner"},
    "classes": {"owner"},
    "evidence": {"buyer", "owner"},
    "approvals": {"owner"},
}


def call(client, method: str, path: str):
    if method == "get":
        return client.get(ROOT + path)
    return write(client, method, path, {"nothing": "of use"})


def paths(name: str) -> list[tuple[str, str]]:
    one = f"{name}/1/"
    return [
        ("get", f"{name}/"), ("post", f"{name}/"), ("get", one), ("patch", one), ("put", one),
        ("delete", one),
    ]  # fmt: skip


@pytest.mark.parametrize("role", ROLES)
def test_the_role_decides(role, api, subtests):
    client, may = api(role), permissions_of(role)
    for name in sorted(RESOURCES):
        model = RESOURCES[name].queryset.model._meta
        with subtests.test("a resource", name=name):
            for method, path in paths(name):
                allowed = f"{model.app_label}.{NEEDS[method]}_{model.model_name}" in may
                status = call(client, method, path).status_code
                assert (status == 403) is not allowed, (method, path, status)
                assert status < 500


def test_nobody_is_answered_who_is_not_signed_in(api, subtests):
    for name in sorted(RESOURCES):
        with subtests.test("a resource", name=name):
            for method, path in paths(name):
                refused(call(api(), method, path), 401)


@pytest.mark.parametrize("role", ROLES)
def test_who_may_write(role, api):
    client = api(role)
    found = {name: call(client, "post", f"{name}/").status_code for name in WRITERS}
    assert found == {name: 400 if role in roles else 403 for name, roles in WRITERS.items()}


@pytest.mark.parametrize("role", ROLES)
def test_warehouse_sees_no_approvals(role, api):
    status = api(role).get(f"{ROOT}approvals/").status_code
    assert status == (403 if role == "warehouse" else 200)


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("what", ["add-period", "correct", "supersede", "withdraw"])
def test_only_the_owner_says_anything_of_an_approval(what, role, api):
    path = f"approvals/{ApprovalFactory().pk}/{what}/"
    status = call(api(role), "post", path).status_code
    assert status == (400 if role == "owner" else 403)


@pytest.mark.parametrize("role", ROLES)
def test_only_the_owner_checks_evidence(role, api):
    path = f"evidence/{EvidenceFactory().pk}/check/"
    assert write(api(role), "post", path).status_code == (200 if role == "owner" else 403)


@pytest.mark.parametrize("method", ["put", "patch", "delete"])
@pytest.mark.parametrize("name", ["approvals", "approval-versions"])
def test_what_was_said_is_never_edited(method, name, api):
    assert write(api("owner"), method, f"{name}/1/").status_code in {403, 405}
