"""The patrol of counts and write-offs."""

from __future__ import annotations

import pytest
from django.db import connection

from inventory.activities import counting, writing_off
from inventory.models.count import Count, CountLine
from inventory.models.write_off import WriteOff
from stockist.patrol.counting import CHECKS
from tests.factories.stock import stock_in
from tests.factories.when import AT
from tests.support.people import with_role

pytestmark = pytest.mark.django_db


@pytest.fixture
def posted():
    """A count with a difference of six, and a write-off of five, both passed by another."""
    ann, tom = with_role("warehouse", "ann"), with_role("warehouse", "tom")
    balance = stock_in(on_hand=12)
    count = counting.begin(place=balance.place, by=ann, at=AT)
    for _ in range(2):
        counting.enter(count=count, lot=balance.lot, quantity=6, by=ann, at=AT)
        counting.hand_in(count=count, by=ann, at=AT)
    counting.post_count(count=count, by=tom, at=AT)
    said = {"lot": balance.lot, "place": balance.place, "quantity": 5, "reason": "lost"}
    row, _ = writing_off.write_off(by=ann, at=AT, **said)
    writing_off.pass_write_off(row=row, by=tom, at=AT)
    return ann


def faults():
    found = {check.name: check.look().faults for check in CHECKS}
    return {name: list(told) for name, told in found.items() if told}


def test_what_the_activities_leave_is_in_order(posted):
    assert faults() == {}
    assert {check.name: check.look().over for check in CHECKS} == {
        "counts": "1 counts",
        "second-person": "1 write-offs",
    }


def test_a_line_that_says_other_than_was_posted(posted):
    CountLine.objects.filter(again=True).update(counted=5)
    assert "and its posting disagree" in faults()["counts"][0]


def test_a_posting_that_no_count_explains(posted):
    with connection.cursor() as cursor:
        cursor.execute("UPDATE inventory_count SET posting_id = NULL")
    assert len(faults()["counts"]) == 2


def test_whoever_passed_their_own_and_does_not_say_so(posted):
    with connection.cursor() as cursor:  # the database itself would not have it of a write-off
        cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
        cursor.execute(
            "ALTER TABLE inventory_writeoff DROP CONSTRAINT write_off_of_many_has_two_people"
        )
    Count.objects.update(ended_by=posted)
    WriteOff.objects.update(decided_by=posted)
    numbers = [Count.objects.get().number, WriteOff.objects.get().number]
    assert [told.split()[0] for told in faults()["second-person"]] == numbers
    Count.objects.update(self_checked=True)
    WriteOff.objects.update(self_checked=True)
    assert faults() == {}


def test_each_is_judged_by_the_limit_that_stands_with_it(posted):
    Count.objects.update(ended_by=posted, alone_up_to=6)
    WriteOff.objects.update(decided_by=posted, alone_up_to=5)
    assert faults() == {}
    Count.objects.update(alone_up_to=5)
    assert len(faults()["second-person"]) == 1
