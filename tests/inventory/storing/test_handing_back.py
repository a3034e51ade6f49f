"""Handed back once, from wherever they lie by then, and whatever was made of them meanwhile."""

from __future__ import annotations

from decimal import Decimal
from functools import partial

import pytest

from inventory.activities import blocking, correcting, storing, working
from inventory.activities.correcting import AnothersTyres, IsKept
from inventory.activities.moving import move
from inventory.activities.storing import HandedBackAlready, MovedMeanwhile
from inventory.ground.refusal import Refusal
from inventory.ledger.post import NotThatMany
from inventory.models.balance import Balance
from inventory.models.posting import Posting, PostingKind
from inventory.models.storage import Storage
from stockist.patrol.storing import CHECKS
from tests.factories.people import UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.stock import LotFactory
from tests.factories.storing import kept
from tests.factories.when import AT
from tests.support.concurrency import at_once


@pytest.fixture
def by(db):
    return UserFactory()


@pytest.fixture
def row(db):
    return kept()


def back(row, by, handed_to="The owner"):
    return storing.hand_back(storage=row, handed_to=handed_to, by=by, at=AT)


def where(row):
    (one,) = storing.lying(row)
    return one


def moved(row, by, target, quantity=1):
    one = where(row)
    return move(
        lot=one.lot, source=one.place, target=target, quantity=quantity, by=by, at=AT
    )  # fmt: skip


def buffed(row, by, quantity=2, mm="4.0"):
    one = where(row)
    return working.work(
        lot=one.lot, place=one.place, quantity=quantity, condition="buffed",
        buffed_to_mm=Decimal(mm), why="For the wet.", by=by, at=AT,
    )[0]  # fmt: skip


def all_gone(row):
    """Nothing is left of it, it went in one posting, and the patrol has nothing to say."""
    assert not Balance.objects.exclude(on_hand=0).exists()
    (posting,) = Posting.objects.filter(kind=PostingKind.HAND_BACK)
    assert posting.document == row.number
    assert not [fault for check in CHECKS for fault in check.look().faults]
    return True


def test_from_where_they_were_put(row, by):
    done = back(row, by)
    assert (done.handed_to, done.ended_by, done.ended_at) == ("The owner", by, AT)
    assert all_gone(row)


def test_from_another_place_and_site_and_blocked(row, by):
    target = PlaceFactory(site=where(row).place.site)
    moved(row, by, target, 4)
    lot = where(row).lot
    blocking.block(lot=lot, reason="to_be_checked", note="A cut.", by=by, at=AT)
    assert where(row).place == target
    back(row, by)
    assert all_gone(row)


def test_what_they_were_worked_into_is_theirs(row, by):
    twice = working.work(
        lot=buffed(row, by), place=storing.lying(row)[0].place, quantity=1, condition="hand_cut",
        why="Two grooves.", by=by, at=AT,
    )[0]  # fmt: skip
    assert twice.owner_customer == row.customer
    assert sorted(one.on_hand for one in storing.lying(row)) == [1, 1, 2]
    back(row, by)
    assert all_gone(row)


def test_what_was_lost_meanwhile_is_not_handed_back(row, by):
    one = where(row)
    correcting.recount(lot=one.lot, place=one.place, counted=0, why="Stolen.", by=by, at=AT)
    assert back(row, by).handed_to == "The owner"
    assert not Posting.objects.filter(kind=PostingKind.HAND_BACK).exists()


@pytest.mark.parametrize(("name", "words"), [("", "handed"), ("  ", "handed"), ("x" * 121, "120")])
def test_to_whom_is_said(row, by, name, words):
    with pytest.raises(Refusal, match=words):
        back(row, by, name)
    assert Storage.objects.get().ended_at is None
    assert where(row).on_hand == 4


def test_it_is_not_taken_back_by_a_correction(row, by):
    came = Posting.objects.get(kind=PostingKind.TAKE_IN)
    back(row, by)
    for posting in (came, Posting.objects.get(kind=PostingKind.HAND_BACK)):
        with pytest.raises(IsKept, match=f"come and go with {row.number}"):
            correcting.take_back(posting=posting, why="A slip.", by=by, at=AT)
    assert all_gone(row)


def test_a_misread_tyre_stays_its_owners_and_in_its_storage(row, by):
    one = where(row)
    told = {"place": one.place, "quantity": 1, "why": "Misread.", "by": by, "at": AT}
    with pytest.raises(AnothersTyres, match="stays whose it is"):
        correcting.misread(lot=one.lot, into=LotFactory(), **told)
    with pytest.raises(AnothersTyres):
        correcting.misread(lot=LotFactory(), into=one.lot, **told)
    loose = LotFactory(owner="customer", owner_customer=row.customer)
    for lot, into in ((one.lot, loose), (loose, one.lot)):
        with pytest.raises(IsKept, match=row.number):
            correcting.misread(lot=lot, into=into, **told)
    other = buffed(row, by)
    correcting.misread(lot=other, into=one.lot, **told)
    assert {one.on_hand for one in storing.lying(row)} == {3, 1}
    back(row, by)
    assert all_gone(row)


@pytest.mark.django_db(transaction=True)
def test_twice_at_once():
    row, people = kept(), [UserFactory(), UserFactory()]
    answers = at_once(*(partial(back, row, by) for by in people))
    (done,) = [one for one in answers if isinstance(one, Storage)]
    (told,) = [one for one in answers if isinstance(one, HandedBackAlready)]
    assert told.sentence == (
        f"{row.number} was handed to The owner by {done.ended_by}. Nothing was changed."
    )
    assert all_gone(row)


@pytest.mark.django_db(transaction=True)
def test_handed_back_while_somebody_moves_one():
    row, by = kept(), UserFactory()
    target = PlaceFactory(site=where(row).place.site)
    answers = at_once(partial(back, row, by), partial(moved, row, by, target))
    told = [one for one in answers if isinstance(one, Refusal)]
    assert all(isinstance(one, (NotThatMany, MovedMeanwhile)) for one in told)
    done = Storage.objects.get()
    if done.ended_at is None:
        back(row, by)
    assert all_gone(row)
