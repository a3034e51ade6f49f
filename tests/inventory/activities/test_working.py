"""Work on tyres: one lot out, another in, who and why."""

from __future__ import annotations

from decimal import Decimal

import pytest

from inventory.activities import working
from inventory.activities.working import NeverNewAgain, NotDeeperAgain, NothingIsDone
from inventory.ground.refusal import Refusal
from inventory.ledger.post import NotThatMany, SayWhy
from inventory.ledger.reconcile import differences
from inventory.models.balance import Balance
from inventory.models.lot import Lot
from inventory.models.posting import PostingKind
from tests.factories.people import UserFactory
from tests.factories.stock import LotFactory, stock_in
from tests.factories.when import AT
from tests.support.concurrency import at_once

pytestmark = pytest.mark.django_db


@pytest.fixture
def by(db):
    return UserFactory()


@pytest.fixture
def balance(db):
    return stock_in(on_hand=6)


def work(balance, by, quantity=2, condition="buffed", mm="4.5", why="For the wet.", lot=None):
    return working.work(
        lot=lot or balance.lot, place=balance.place, quantity=quantity, condition=condition,
        buffed_to_mm=None if mm is None else Decimal(mm), why=why, by=by, at=AT,
    )  # fmt: skip


def on_hand(lot):
    return Balance.objects.get(lot=lot).on_hand


def test_one_lot_out_and_another_in(balance, by):
    made, posting = work(balance, by)
    assert (on_hand(balance.lot), on_hand(made)) == (4, 2)
    assert (made.made_from, made.condition, made.buffed_to_mm) == (
        *(balance.lot, "buffed", Decimal("4.5")),
    )
    assert (made.date_code, made.sku, made.recorded_by) == (
        *(balance.lot.date_code, balance.lot.sku, by),
    )
    assert made.code == f"{balance.lot.code}.1"
    assert (posting.kind, posting.note, posting.document) == (
        *(PostingKind.WORK, "For the wet.", made.code),
    )
    assert not differences()


def test_the_same_work_goes_into_the_same_lot_and_other_work_into_another(balance, by):
    first, _ = work(balance, by)
    again, _ = work(balance, by)
    cut, _ = work(balance, by, 1, condition="hand_cut", mm=None)
    deeper, _ = work(balance, by, 1, mm="3.0", lot=first)
    assert first == again
    assert cut.code == f"{balance.lot.code}.2"
    assert (deeper.made_from, on_hand(first), on_hand(deeper)) == (first, 3, 1)
    assert not Lot.objects.filter(pk=first.pk).promised().exists()


@pytest.mark.parametrize(
    ("said", "refusal"),
    [
        ({"condition": "new", "mm": None}, NeverNewAgain),
        ({"why": " "}, SayWhy),
        ({"mm": None}, Refusal),
        ({"condition": "luck"}, Refusal),
        ({"quantity": 7}, NotThatMany),
        ({"quantity": 0}, Refusal),
    ],
)
def test_what_cannot_be_done(said, refusal, balance, by):
    with pytest.raises(refusal):
        work(balance, by, **said)
    assert (Lot.objects.count(), on_hand(balance.lot)) == (1, 6)


def test_rubber_does_not_come_back(by):
    buffed = stock_in(lot=LotFactory(condition="buffed", buffed_to_mm="4.5"))
    with pytest.raises(NotDeeperAgain, match=r"buffed to 4\.5 mm"):
        work(buffed, by, mm="5.0")
    buffed.lot.refresh_from_db()
    with pytest.raises(NothingIsDone, match="buffed already"):
        work(buffed, by)


def test_held_tyres_stay(by):
    held = stock_in(on_hand=4, held=3)
    with pytest.raises(NotThatMany, match="1 are free"):
        work(held, by)


def test_a_long_code_is_cut_for_its_number(by):
    lies = stock_in(lot=LotFactory(code="L" * 20))
    made, _ = work(lies, by)
    assert made.code == "L" * 18 + ".1"


@pytest.mark.django_db(transaction=True)
def test_two_at_once_make_one_new_lot(balance, by):
    answers = at_once(*[lambda: work(balance, by)] * 3)
    assert len({made.pk for made, _ in answers}) == 1
    assert (on_hand(answers[0][0]), on_hand(balance.lot)) == (6, 0)
