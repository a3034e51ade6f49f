"""Taking lots off sale, and putting them back."""

from __future__ import annotations

import pytest

from inventory.activities.blocking import (
    BlockedAlready,
    LiftedAlready,
    NoSuchReason,
    SayWhyLifted,
    block,
    lift,
)
from inventory.ground.entries.faults import Faulty
from inventory.models.lot import Block, Lot
from tests.factories.people import UserFactory
from tests.factories.stock import BlockFactory, LotFactory
from tests.factories.when import AT, EARLIER
from tests.support.concurrency import at_once


@pytest.fixture
def by(db):
    return UserFactory()


@pytest.fixture
def lot(db):
    return LotFactory()


def test_a_block_takes_the_lot_off_sale(lot, by):
    placed = block(lot=lot, reason="recall", note="letter of Monday", by=by, at=AT)
    stored = Block.objects.get()
    assert stored == placed
    assert (stored.reason, stored.note) == ("recall", "letter of Monday")
    assert (stored.placed_by, stored.placed_at) == (by, AT)
    assert list(Lot.objects.unblocked()) == []


def test_for_two_reasons_at_once(lot, by):
    first = block(lot=lot, reason="recall", by=by, at=AT)
    block(lot=lot, reason="damaged", by=by, at=AT)
    lift(block=first, why="letter taken back", by=by, at=AT)
    assert not Lot.objects.unblocked().exists()
    lift(block=Block.objects.get(reason="damaged"), why="looked at", by=by, at=AT)
    assert Lot.objects.unblocked().get() == lot


def test_once_for_each_reason(lot, by):
    block(lot=lot, reason="recall", by=by, at=AT)
    with pytest.raises(BlockedAlready, match="already"):
        block(lot=lot, reason="recall", by=by, at=AT)
    assert Block.objects.count() == 1


def test_again_after_it_was_lifted(lot, by):
    lift(block=block(lot=lot, reason="recall", by=by, at=AT), why="mistaken", by=by, at=AT)
    block(lot=lot, reason="recall", by=by, at=AT)
    assert Block.objects.filter(lifted_at=None).count() == 1


@pytest.mark.parametrize("reason", ["", "dusty", "x" * 10_000])
def test_a_reason_from_the_list(lot, by, reason):
    with pytest.raises(NoSuchReason, match="damaged, wrong mark or issue") as caught:
        block(lot=lot, reason=reason, by=by, at=AT)
    assert len(caught.value.sentence) < 250
    assert not Block.objects.exists()


def test_who_when_and_why_it_was_lifted(by, lot):
    lifted = lift(block=BlockFactory(lot=lot), why="sound", by=by, at=AT)
    stored = Block.objects.get()
    assert (stored.lifted_by, stored.lifted_at, stored.lifted_why) == (by, AT, "sound")
    assert lifted.lifted_why == "sound"


@pytest.mark.parametrize("why", ["", "  "])
def test_say_why(by, lot, why):
    placed = BlockFactory(lot=lot)
    with pytest.raises(SayWhyLifted, match="why"):
        lift(block=placed, why=why, by=by, at=AT)
    placed.refresh_from_db()
    assert placed.lifted_at is None


def test_words_are_short_and_plain(by, lot):
    with pytest.raises(Faulty):
        block(lot=lot, reason="recall", note="n" * 4001, by=by, at=AT)
    with pytest.raises(Faulty):
        lift(block=BlockFactory(lot=lot), why="a\x00b", by=by, at=AT)
    assert Block.objects.get().lifted_at is None


def test_lifted_once(by, lot):
    placed = BlockFactory(lot=lot, lifted=True)
    with pytest.raises(LiftedAlready, match=f"lot {lot.code} was lifted on 2026-11-23"):
        lift(block=placed, why="again", by=by, at=AT)


def test_not_before_it_was_placed(by, lot):
    placed = BlockFactory(lot=lot, placed_at=AT)
    with pytest.raises(Faulty, match="who lifted"):
        lift(block=placed, why="earlier", by=by, at=EARLIER)
    placed.refresh_from_db()
    assert placed.lifted_at is None


@pytest.mark.django_db(transaction=True)
def test_two_at_once():
    lot, by = LotFactory(), UserFactory()
    answers = at_once(*[lambda: block(lot=lot, reason="recall", by=by, at=AT)] * 4)
    assert sorted(type(answer).__name__ for answer in answers) == ["Block"] + ["BlockedAlready"] * 3
    placed = Block.objects.get()
    answers = at_once(*[lambda: lift(block=placed, why="sound", by=by, at=AT)] * 4)
    assert sorted(type(answer).__name__ for answer in answers) == ["Block"] + ["LiftedAlready"] * 3
