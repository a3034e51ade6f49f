"""A new issue over the API: one call changes every approval, sent twice it does so once."""

from __future__ import annotations

import pytest

from fitments.models.approval import Approval, ApprovalVersion
from tests.factories.approvals import ApprovalFactory, EvidenceFactory
from tests.support.calling import refused, write

pytestmark = pytest.mark.django_db
PATH = "approvals/new-issue/"


@pytest.fixture
def old():
    return ApprovalFactory(code="HLM-2-F")


def asked(old, **more):
    return {
        "car_maker": old.car_maker_id, "mark": "HLM", "old_issue": "2", "new_issue": "3",
        "first_day": "2026-07-01", "why": "bulletin 12",
    } | more  # fmt: skip


def test_it_takes_the_place_and_once(api, old):
    letter = EvidenceFactory()
    told = asked(old, size="185/70r15", evidence=[letter.pk], vehicle_line=old.vehicle_line_id)
    owner = api("owner")
    first = write(owner, "post", PATH, told, key="once")
    later = Approval.objects.get(code="HLM-3-F")
    assert first.json() == {
        "recorded": 1,
        "replaced": [
            {"old": old.pk, "old_code": "HLM-2-F",
             "successor": later.pk, "successor_code": "HLM-3-F"}
        ],
    }  # fmt: skip
    assert write(owner, "post", PATH, told, key="once").json() == first.json()
    assert ApprovalVersion.objects.count() == 3  # before, ended, and the new one
    assert list(later.versions.get().evidence.all()) == [letter]


@pytest.mark.parametrize(
    ("more", "status", "words", "pointer"),
    [
        ({"size": "round"}, 400, "cannot be read", "/size"),
        ({"size": "155 R 13"}, 409, "nothing could take its place", "/old_issue"),
        ({"new_issue": "2"}, 422, "cannot take its own place", "/new_issue"),
        ({"why": ""}, 400, "may not be blank", "/why"),
        ({"evidence": [0]}, 400, "does not exist", "/evidence"),
    ],
)
def test_what_is_refused(api, old, more, status, words, pointer):
    answer = write(api("owner"), "post", PATH, asked(old, **more))
    assert answer.status_code == status, answer.content
    told = refused(answer, status, pointer=pointer if status != 400 else None)
    assert words in answer.content.decode(), told
    assert old.versions.count() == 1


@pytest.mark.parametrize("role", ["counter", "warehouse", "buyer"])
def test_only_the_owner(api, old, role):
    refused(write(api(role), "post", PATH, asked(old)), 403)
    assert Approval.objects.count() == 1
