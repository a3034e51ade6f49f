"""Kept longer than was said: until when, who, why."""

from __future__ import annotations

from datetime import timedelta
from functools import partial

import pytest
from django.db import IntegrityError, transaction

from inventory.activities import storing
from inventory.activities.storing import HandedBackAlready, NotLater
from inventory.ground.refusal import Refusal
from inventory.models.storage import Storage, StorageExtension
from tests.factories.people import UserFactory
from tests.factories.storing import StorageExtensionFactory, kept
from tests.factories.when import AT, TODAY
from tests.support.concurrency import at_once


@pytest.fixture
def by(db):
    return UserFactory()


def longer(row, by, days, why="Away."):
    return storing.keep_longer(
        storage=row, due_on=TODAY + timedelta(days=days), why=why, by=by, at=AT
    )


def test_each_begins_where_the_one_before_ended(by):
    row = kept()
    longer(row, by, 30)
    assert longer(row, by, 60, " It snows. ").due_on == TODAY + timedelta(days=60)
    told = [(one.due_before, one.due_after, one.why) for one in row.extensions.all()]
    days = [TODAY + timedelta(days=n) for n in (0, 30, 60)]
    assert told == [(days[0], days[1], "Away."), (days[1], days[2], "It snows.")]


@pytest.mark.parametrize(
    ("days", "why", "words"),
    [
        (0, "Away.", "is due back on 2026-11-23 as it is: say a later day"),
        (-1, "Away.", "2026-11-22 is past"),
        (3000, "Away.", "look at the year again"),
        (9, " ", "Say why they are kept longer"),
        (9, "x" * 241, "240"),
    ],
)
def test_what_is_no_putting_off(by, days, why, words):
    row = kept()
    with pytest.raises(Refusal, match=words):
        longer(row, by, days, why)
    assert Storage.objects.get().due_on == TODAY
    assert not StorageExtension.objects.exists()


def test_an_overdue_one_is_kept_until_a_day_to_come(by):
    row = kept(at=AT - timedelta(days=400), due_on=TODAY - timedelta(days=300))
    with pytest.raises(Refusal, match="is past"):
        longer(row, by, -200)
    assert longer(row, by, 0).due_on == TODAY


def test_not_after_they_were_handed_back(by):
    row = kept()
    storing.hand_back(storage=row, handed_to="The owner", by=by, at=AT)
    with pytest.raises(HandedBackAlready, match="was handed to The owner"):
        longer(row, by, 9)


def test_what_was_said_stays(db):
    longer = StorageExtensionFactory()
    for change in (
        lambda: StorageExtension.objects.update(why="Other."),
        lambda: longer.delete(),
    ):
        with pytest.raises(IntegrityError, match="written once"), transaction.atomic():
            change()


@pytest.mark.django_db(transaction=True)
def test_put_off_by_two_at_once():
    row, by = kept(), UserFactory()
    answers = at_once(*[partial(longer, row, by, 30)] * 2)
    assert sorted(type(one) for one in answers if isinstance(one, NotLater)) == [NotLater]
    assert StorageExtension.objects.get().due_after == TODAY + timedelta(days=30)
