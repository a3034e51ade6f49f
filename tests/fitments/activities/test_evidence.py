"""Evidence: recorded, checked by a second person or by the same, changed and then unchecked."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from fitments.activities import evidence
from fitments.models.evidence import Evidence
from inventory.ground.entries.faults import Faulty
from tests.factories.people import UserFactory
from tests.factories.when import AT, EARLIER

LETTER = {
    "code": "EV-1", "kind": "letter", "reference": "HC/208", "issuer": "Hallmere Cars",
    "dated": date(2019, 5, 2), "digest": "AB" * 32,
}  # fmt: skip


@pytest.fixture
def clerk(db):
    return UserFactory()


@pytest.fixture
def letter(clerk):
    return evidence.record(**LETTER, by=clerk, at=AT)


def test_it_says_who_recorded_it_and_is_not_checked(letter, clerk):
    assert (letter.recorded_by, letter.recorded_at) == (clerk, AT)
    assert (letter.checked_by, letter.checked_at, letter.self_checked) == (None, None, False)
    assert letter.digest == "ab" * 32


def test_a_second_person_checks_it(letter):
    owner = UserFactory()
    due = date(2029, 5, 2)
    checked = evidence.check(evidence=letter, due_on=due, by=owner, at=AT)
    assert (checked.checked_by, checked.checked_at, checked.due_on) == (owner, AT, due)
    assert not checked.self_checked


def test_the_same_person_may_check_it_and_it_shows(letter, clerk):
    assert evidence.check(evidence=letter, by=clerk, at=AT).self_checked


def test_it_can_be_checked_again(letter, clerk):
    evidence.check(evidence=letter, by=clerk, at=AT)
    later = datetime(2027, 1, 1, tzinfo=UTC)
    owner = UserFactory()
    again = evidence.check(evidence=letter, by=owner, at=later)
    assert (again.checked_by, again.checked_at) == (owner, later)


def test_nothing_is_checked_before_it_was_there(letter, clerk):
    with pytest.raises(evidence.NotYetRecorded, match="EV-1 was recorded on 2026-11-23 only"):
        evidence.check(evidence=letter, by=clerk, at=EARLIER)


def test_whoever_left_checks_nothing(letter):
    gone = UserFactory(username="gone", is_active=False)
    with pytest.raises(Faulty, match="gone does not work here any more"):
        evidence.check(evidence=letter, by=gone, at=AT)


def test_what_was_changed_wants_checking_again(letter, clerk):
    evidence.check(evidence=letter, by=UserFactory(), at=AT)
    changed = evidence.change(evidence=letter, says="Issue 2 only.", by=clerk, at=AT)
    assert (changed.says, changed.checked_by, changed.checked_at) == ("Issue 2 only.", None, None)
    assert changed.recorded_by == clerk


@pytest.mark.parametrize(
    ("values", "field", "words"),
    [
        ({"digest": "abc"}, "digest", "64 figures and small letters"),
        ({"kind": "rumour"}, "kind", "not a valid choice"),
        ({"reference": ""}, "reference", "cannot be blank"),
        ({"issuer": "x" * 121}, "issuer", "at most 120"),
        ({"says": "a\x00b"}, "says", "control character"),
    ],
)
def test_what_cannot_be(clerk, values, field, words):
    with pytest.raises(Faulty, match=words) as refusal:
        evidence.record(**(LETTER | values), by=clerk, at=AT)
    assert refusal.value.field == field
    assert not Evidence.objects.exists()


def test_a_code_that_is_there_already(letter, clerk):
    with pytest.raises(Faulty, match="of this code is there already"):
        evidence.record(**LETTER, by=clerk, at=AT)
