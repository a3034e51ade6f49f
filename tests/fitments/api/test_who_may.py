"""Every resource of cars and approvals x role x method: the role's permissions decide."""

from __future__ import annotations

import pytest

from fitments.api.urls import RESOURCES
from stockist.roles import ROLES
from tests.factories.approvals import ApprovalFactory, EvidenceFactory
from tests.support.calling import ROOT, write
from tests.support.rights import call, nobody_is_answered, the_role_decides

pytestmark = pytest.mark.django_db
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


@pytest.mark.parametrize("role", ROLES)
def test_the_role_decides(role, api, subtests):
    the_role_decides(api(role), role, RESOURCES, subtests)


def test_nobody_is_answered_who_is_not_signed_in(api, subtests):
    nobody_is_answered(api(), RESOURCES, subtests)


@pytest.mark.parametrize("role", ROLES)
def test_who_may_write(role, api):
    client = api(role)
    found = {
        name: call(client, "post", f"{name}/", {"nothing": "of use"}).status_code
        for name in WRITERS
    }
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
