"""Putting right what was booked wrongly."""

from __future__ import annotations

import pytest
from django.db import connection, transaction

from inventory.activities.correcting import (
    CorrectTheFirst,
    CountedBelowNought,
    NothingToCorrect,
    SameLot,
    TakenBackAlready,
    misread,
    recount,
    take_back,
)
from inventory.activities.moving import move
from inventory.ledger.moves import NoneAsked, NotWhole, TooMany
from inventory.ledger.post import NotThatMany, SayWhy
from inventory.ledger.reconcile import differences
from inventory.models.balance import Balance
from inventory.models.posting import Posting
from tests.factories.people import UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.stock import LotFactory, stock_in
from tests.factories.when import AT
from tests.support.concurrency import at_once


@pytest.fixture
def by(db):
    return UserFactory()


@pytest.fixture
def balance(db):
    return stock_in(on_hand=6)


def on_hand():
    return {(b.lot_id, b.place_id): b.on_hand for b in Balance.objects.order_by("pk") if b.on_hand}


def unchanged(call, refusal, words="."):
    before = on_hand(), Posting.objects.count()
    with pytest.raises(refusal, match=words):
        call()
    assert (on_hand(), Posting.objects.count()) == before


class TestTakeBack:
    def test_the_opposite_of_every_line(self, by, balance):
        target = PlaceFactory(site=balance.place.site)
        wrong = move(
            lot=balance.lot, source=balance.place, target=target, quantity=4, by=by, at=AT,
            document="P-9",
        )  # fmt: skip
        back = take_back(posting=wrong, why="the wrong rack", by=by, at=AT)
        assert on_hand() == {(balance.lot_id, balance.place_id): 6}
        assert (back.kind, back.corrects, back.note) == ("correction", wrong, "the wrong rack")
        assert back.document == "P-9"
        assert differences() == []

    def test_opening_stock(self, by, balance):
        take_back(posting=Posting.objects.get(), why="entered twice", by=by, at=AT)
        assert on_hand() == {}

    def test_once_only(self, by, balance):
        wrong = Posting.objects.get()
        back = take_back(posting=wrong, why="entered twice", by=by, at=AT)
        words = f"{wrong.pk} was corrected already, by posting {back.pk}"
        unchanged(
            lambda: take_back(posting=wrong, why="again", by=by, at=AT), TakenBackAlready, words
        )

    def test_not_a_correction(self, by, balance):
        back = take_back(posting=Posting.objects.get(), why="entered twice", by=by, at=AT)
        unchanged(
            lambda: take_back(posting=back, why="no", by=by, at=AT), CorrectTheFirst, "itself"
        )

    def test_tyres_that_have_gone_on(self, by, balance):
        wrong = Posting.objects.get()
        target = PlaceFactory(site=balance.place.site)
        move(lot=balance.lot, source=balance.place, target=target, quantity=1, by=by, at=AT)
        unchanged(lambda: take_back(posting=wrong, why="no", by=by, at=AT), NotThatMany)

    @pytest.mark.parametrize("why", ["", " \n"])
    def test_say_why(self, by, balance, why):
        wrong = Posting.objects.get()
        unchanged(lambda: take_back(posting=wrong, why=why, by=by, at=AT), SayWhy)


@pytest.mark.django_db(transaction=True)
def test_eight_take_the_same_posting_back():
    balance, by = stock_in(on_hand=20), UserFactory()
    wrong = Posting.objects.get()
    stock_in(on_hand=20, lot=balance.lot, place=balance.place)

    def work():
        return take_back(posting=wrong, why="entered twice", by=by, at=AT)

    answers = at_once(*[work] * 8)
    assert sum(isinstance(answer, Posting) for answer in answers) == 1
    assert sum(isinstance(answer, TakenBackAlready) for answer in answers) == 7
    balance.refresh_from_db()
    assert balance.on_hand == 20


class TestRecount:
    @pytest.mark.parametrize("counted", [0, 5, 9])
    def test_the_ledger_says_what_was_counted(self, by, balance, counted):
        posting = recount(
            lot=balance.lot, place=balance.place, counted=counted, why="stock-take", by=by, at=AT
        )
        balance.refresh_from_db()
        assert balance.on_hand == counted
        assert posting.lines.get().on_hand_change == counted - 6
        assert differences() == []

    def test_found_where_none_were(self, by):
        lot, place = LotFactory(), PlaceFactory()
        recount(lot=lot, place=place, counted=2, why="behind the door", by=by, at=AT)
        assert on_hand() == {(lot.pk, place.pk): 2}

    def test_as_many_as_the_ledger_says(self, by, balance):
        def call():
            recount(lot=balance.lot, place=balance.place, counted=6, why="x", by=by, at=AT)

        unchanged(call, NothingToCorrect, "says 6 of lot .* as well")

    def test_none_counted_where_none_are_leaves_no_balance_behind(self, by):
        lot, place = LotFactory(), PlaceFactory()
        with pytest.raises(NothingToCorrect):
            recount(lot=lot, place=place, counted=0, why="x", by=by, at=AT)
        assert not Balance.objects.exists()

    def test_fewer_than_are_held(self, by):
        held = stock_in(on_hand=6, held=4)

        def call():
            recount(lot=held.lot, place=held.place, counted=3, why="x", by=by, at=AT)

        unchanged(call, NotThatMany, "4 of them held")

    @pytest.mark.parametrize(
        ("counted", "refusal"),
        [(-1, CountedBelowNought), (2.5, NotWhole), (10**9, TooMany), (None, NotWhole)],
    )
    def test_counts_that_nobody_can_mean(self, by, balance, counted, refusal):
        def call():
            recount(lot=balance.lot, place=balance.place, counted=counted, why="x", by=by, at=AT)

        unchanged(call, refusal)

    def test_say_why(self, by, balance):
        def call():
            recount(lot=balance.lot, place=balance.place, counted=1, why="", by=by, at=AT)

        unchanged(call, SayWhy)


@pytest.mark.django_db(transaction=True)
def test_two_count_one_place_at_once():
    """Whoever comes second finds the ledger as the first left it."""
    balance, by = stock_in(on_hand=6), UserFactory()

    def work():
        return recount(lot=balance.lot, place=balance.place, counted=4, why="x", by=by, at=AT)

    answers = at_once(work, work)
    assert sorted(type(answer).__name__ for answer in answers) == ["NothingToCorrect", "Posting"]
    balance.refresh_from_db()
    assert balance.on_hand == 4


class TestMisread:
    def test_out_of_one_lot_into_the_other(self, by, balance):
        into = LotFactory(sku=balance.lot.sku, date_code="1524")
        misread(
            lot=balance.lot, into=into, place=balance.place, quantity=2, why="week 15 of 2024",
            by=by, at=AT,
        )  # fmt: skip
        assert on_hand() == {
            (balance.lot_id, balance.place_id): 4,
            (into.pk, balance.place_id): 2,
        }

    def test_even_of_another_sku(self, by, balance):
        into = LotFactory()
        misread(
            lot=balance.lot, into=into, place=balance.place, quantity=6, why="it is the wider one",
            by=by, at=AT,
        )  # fmt: skip
        assert on_hand() == {(into.pk, balance.place_id): 6}

    @pytest.mark.parametrize(
        ("change", "refusal"),
        [
            ({"quantity": 7}, NotThatMany),
            ({"quantity": 0}, NoneAsked),
            ({"quantity": -3}, NoneAsked),
            ({"quantity": 1.5}, NotWhole),
            ({"why": ""}, SayWhy),
        ],
    )
    def test_refused(self, by, balance, change, refusal):
        asked = {"quantity": 2, "why": "misread", **change}

        def call():
            place = balance.place
            misread(lot=balance.lot, into=LotFactory(), place=place, by=by, at=AT, **asked)

        unchanged(call, refusal)

    def test_into_itself(self, by, balance):
        lot = balance.lot

        def call():
            misread(lot=lot, into=lot, place=balance.place, quantity=1, why="x", by=by, at=AT)

        unchanged(call, SameLot, f"of lot {lot.code} already")


def test_refused_within_a_larger_piece_of_work(by, balance):
    """A savepoint, not a transaction of its own: what came before stays."""
    with transaction.atomic():
        recount(lot=balance.lot, place=balance.place, counted=5, why="x", by=by, at=AT)
        with pytest.raises(NothingToCorrect):
            recount(lot=balance.lot, place=balance.place, counted=5, why="x", by=by, at=AT)
        assert not connection.needs_rollback
    balance.refresh_from_db()
    assert balance.on_hand == 5
