"""Write-offs: at once up to a few, by another person above that."""

from __future__ import annotations

import pytest
from django.db import IntegrityError

from inventory.activities import writing_off
from inventory.activities.writing_off import DecidedAlready, SayWhyNot
from inventory.ground.refusal import Refusal
from inventory.ground.second_person import AnotherPersonIsWanted
from inventory.ledger.post import NotThatMany
from inventory.models.balance import Balance
from inventory.models.hold import HoldState
from inventory.models.posting import PostingKind
from inventory.models.write_off import WriteOff, WriteOffState
from tests.factories.sending import a_line, an_order, hold_for
from tests.factories.stock import stock_in
from tests.factories.when import AT
from tests.support.concurrency import at_once
from tests.support.people import with_role

pytestmark = pytest.mark.django_db


@pytest.fixture
def ann(db):
    return with_role("warehouse", "ann")


@pytest.fixture
def tom(db):
    return with_role("warehouse", "tom")


@pytest.fixture
def balance(db):
    return stock_in(on_hand=10)


def off(balance, by, quantity=2, **more):
    told = {"reason": "damaged", "why": "Cut by the fork.", **more}
    return writing_off.write_off(
        lot=balance.lot, place=balance.place, quantity=quantity, by=by, at=AT, **told
    )


def left():
    return Balance.objects.get().on_hand


def test_a_few_are_written_off_at_once(balance, ann):
    row, broken = off(balance, ann)
    assert (row.state, row.decided_by, broken, left()) == (WriteOffState.POSTED, ann, (), 8)
    assert (row.posting.kind, row.posting.document) == (PostingKind.WRITE_OFF, row.number)
    assert "damaged beyond use: Cut by the fork." in row.posting.note


def test_more_wait_for_another_person(balance, ann, tom):
    row, _ = off(balance, ann, 5)
    assert (row.state, left()) == (WriteOffState.ASKED, 10)
    with pytest.raises(AnotherPersonIsWanted):
        writing_off.pass_write_off(row=row, by=ann, at=AT)
    done, _ = writing_off.pass_write_off(row=row, by=tom, at=AT)
    assert (done.state, done.self_checked, left()) == (WriteOffState.POSTED, False, 5)
    with pytest.raises(DecidedAlready, match="was posted by tom"):
        writing_off.pass_write_off(row=row, by=tom, at=AT)


def test_the_limit_is_the_houses_and_stands_with_the_write_off(balance, ann, settings):
    settings.ALONE_UP_TO_TYRES = 1
    row, _ = off(balance, ann, 2)
    assert (row.state, row.alone_up_to) == (WriteOffState.ASKED, 1)
    settings.ALONE_UP_TO_TYRES = 9
    with pytest.raises(AnotherPersonIsWanted):
        writing_off.pass_write_off(row=row, by=ann, at=AT)
    assert off(balance, ann, 8)[0].state == WriteOffState.POSTED


def test_the_database_wants_two_people_for_many(balance, ann):
    row, _ = off(balance, ann)
    with pytest.raises(IntegrityError, match="write_off_of_many_has_two_people"):
        WriteOff.objects.filter(pk=row.pk).update(alone_up_to=1)


def test_alone_it_is_self_checked(balance, ann):
    row, _ = off(balance, ann, 5)
    done, _ = writing_off.pass_write_off(row=row, alone=True, by=ann, at=AT)
    assert done.self_checked


def test_it_may_be_refused_with_the_reason(balance, ann, tom):
    row, _ = off(balance, ann, 5)
    with pytest.raises(SayWhyNot):
        writing_off.refuse_write_off(row=row, answer=" ", by=tom, at=AT)
    done = writing_off.refuse_write_off(row=row, answer="They can be sold.", by=tom, at=AT)
    assert (done.state, done.answer, left()) == (WriteOffState.REFUSED, "They can be sold.", 10)
    with pytest.raises(DecidedAlready):
        writing_off.pass_write_off(row=row, by=tom, at=AT)


def test_holds_on_them_are_broken_and_named(balance, ann):
    hold = hold_for(
        a_line(an_order(), sku=balance.lot.sku), (balance.lot, balance.place, 9, "front")
    )
    _, broken = off(balance, ann)
    assert list(broken) == [hold]
    hold.refresh_from_db()
    assert hold.state == HoldState.BROKEN


@pytest.mark.parametrize(
    "more", [{"reason": "luck"}, {"reason": "other", "why": ""}, {"quantity": 0}, {"quantity": 11}]
)
def test_what_cannot_be_written_off(balance, ann, more):
    with pytest.raises(Refusal):
        off(balance, ann, **more)
    assert (WriteOff.objects.count(), left()) == (0, 10)


def test_tyres_that_left_before_it_was_decided(balance, ann, tom):
    first, _ = off(balance, ann, 6)
    second, _ = off(balance, ann, 6)
    writing_off.pass_write_off(row=first, by=tom, at=AT)
    with pytest.raises(NotThatMany, match="4 of lot"):
        writing_off.pass_write_off(row=second, by=tom, at=AT)


@pytest.mark.django_db(transaction=True)
def test_two_decide_at_once_it_is_posted_once(balance, ann, tom):
    row, _ = off(balance, ann, 5)
    answers = at_once(
        lambda: writing_off.pass_write_off(row=row, by=tom, at=AT),
        lambda: writing_off.refuse_write_off(row=row, answer="No.", by=tom, at=AT),
    )
    assert sum(isinstance(one, DecidedAlready) for one in answers) == 1
    row.refresh_from_db()
    assert left() == (5 if row.state == WriteOffState.POSTED else 10)
