"""A posting: its lines, the balances after it, and every way in which it is refused."""

from __future__ import annotations

import datetime as dt

import pytest
from django.db import transaction

from inventory.ground.entries.faults import Faulty
from inventory.ledger.moves import (
    MOST,
    NamedTwice,
    NoneAsked,
    NothingToPost,
    NotWhole,
    TooMany,
    some,
)
from inventory.ledger.post import Move, NoSuchStock, NotThatMany, SayWhy, post
from inventory.models.balance import Balance
from inventory.models.posting import LedgerLine, Posting, PostingKind
from tests.factories.people import UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.stock import LotFactory, stock_in
from tests.factories.when import AT
from tests.support.counting import queries_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def by():
    return UserFactory()


@pytest.fixture
def book(by):
    def call(*lines, kind=PostingKind.MOVE, **more):
        return post(kind=kind, lines=lines, by=by, at=AT, **more)

    return call


def state():
    """Everything that a refusal must leave as it was."""
    return (
        sorted(Balance.objects.values_list("lot", "place", "on_hand", "held")),
        Posting.objects.count(),
        LedgerLine.objects.count(),
    )


def test_opening_makes_the_balance(book):
    lot, place = LotFactory(), PlaceFactory()
    posting = book(Move(lot.pk, place.pk, 7), kind=PostingKind.OPENING, document="sheet 3")
    line = posting.lines.get()
    assert (line.lot, line.place, line.on_hand_change, line.held_change) == (lot, place, 7, 0)
    assert Balance.objects.get(lot=lot, place=place).on_hand == 7


def test_what_comes_back_is_the_stored_row(book, by):
    lot, place = LotFactory(), PlaceFactory()
    posting = book(Move(lot.pk, place.pk, 7), document="sheet 3", note="found behind the door")
    stored = Posting.objects.get(pk=posting.pk)
    for field in Posting._meta.concrete_fields:
        assert getattr(posting, field.attname) == getattr(stored, field.attname), field
    assert stored.recorded_by == by
    assert stored.at == AT


def test_a_move_is_two_lines(book):
    balance = stock_in(on_hand=6)
    other = PlaceFactory()
    book(Move(balance.lot_id, balance.place_id, -2), Move(balance.lot_id, other.pk, 2))
    balance.refresh_from_db()
    assert balance.on_hand == 4
    assert Balance.objects.get(place=other).on_hand == 2


def test_sites_may_be_mixed(book):
    balance, van = stock_in(on_hand=6), PlaceFactory(site__van=True)
    book(Move(balance.lot_id, balance.place_id, -6), Move(balance.lot_id, van.pk, 6))
    assert Balance.objects.get(place=van).on_hand == 6


def test_a_hold_is_one_line(book):
    balance = stock_in(on_hand=6)
    posting = book(Move(balance.lot_id, balance.place_id, held=4))
    balance.refresh_from_db()
    assert (balance.on_hand, balance.held) == (6, 4)
    assert posting.lines.get().held_change == 4


def test_holds_move_with_the_tyres(book):
    balance, other = stock_in(on_hand=4, held=4), PlaceFactory()
    book(Move(balance.lot_id, balance.place_id, -4, -4), Move(balance.lot_id, other.pk, 4, 4))
    assert Balance.objects.get(place=other).held == 4


def test_one_query_where_the_balances_are_there(book):
    balance = stock_in(on_hand=6)
    assert queries_of(lambda: book(Move(balance.lot_id, balance.place_id, -1))) == 1


def test_one_query_for_many_new_balances(book):
    moves = [Move(LotFactory().pk, PlaceFactory().pk, 1) for _ in range(5)]
    assert queries_of(lambda: book(*moves)) == 1
    assert Balance.objects.filter(on_hand=1).count() == 5


def test_many_lines_in_any_order(book):
    places = PlaceFactory.create_batch(12)
    lot = LotFactory()
    posting = book(*[Move(lot.pk, place.pk, 1 + n) for n, place in enumerate(reversed(places))])
    assert posting.lines.count() == 12
    assert Balance.objects.get(place=places[0]).on_hand == 12


def test_a_correction_names_what_it_corrects(book):
    balance = stock_in(on_hand=6)
    wrong = Posting.objects.get()
    posting = book(
        Move(balance.lot_id, balance.place_id, -1),
        kind=PostingKind.CORRECTION,
        corrects=wrong,
        note="one was counted twice",
    )
    assert wrong.corrections.get() == posting


@pytest.mark.parametrize("note", ["", "  "])
def test_a_correction_says_why(book, note):
    balance = stock_in(on_hand=6)
    before = state()
    with pytest.raises(SayWhy, match="Say why"):
        book(Move(balance.lot_id, balance.place_id, -1), corrects=Posting.objects.get(), note=note)
    assert state() == before


@pytest.mark.parametrize(
    ("on_hand", "held", "change", "sentence"),
    [
        (3, 0, Move(0, 0, -4), "3 of lot L7 are in R1; 4 were asked for"),
        (3, 2, Move(0, 0, -2), "3 of lot L7 are in R1, 2 of them held, so 1 are free; 2 were"),
        (3, 2, Move(0, 0, 0, 2), "3 of lot L7 are in R1, 2 of them held, so 1 are free; 2 were"),
        (3, 1, Move(0, 0, 0, -2), "1 of lot L7 in R1 are held, not 2"),
        (3, 0, Move(0, 0, 0, -1), "0 of lot L7 in R1 are held, not 1"),
        (3, 0, Move(0, 0, MOST), "would come to more than 1,000,000 tyres"),
    ],
)
def test_no_more_than_is_free(book, on_hand, held, change, sentence):
    balance = stock_in(on_hand=on_hand, held=held, code="L7", place=PlaceFactory(code="R1"))
    before = state()
    move = Move(balance.lot_id, balance.place_id, change.on_hand, change.held)
    with pytest.raises(NotThatMany, match=sentence) as refused:
        book(move)
    assert state() == before
    assert (refused.value.on_hand, refused.value.held) == (on_hand, held)
    assert refused.value.free == on_hand - held
    assert refused.value.sentence.endswith("Nothing was changed.")


def test_none_at_all_is_said_plainly(book):
    lot, place = LotFactory(code="L9"), PlaceFactory(code="R2")
    before = state()
    with pytest.raises(NotThatMany, match="No lot L9 is in R2; 1 were asked for"):
        book(Move(lot.pk, place.pk, -1))
    assert state() == before


def test_one_bad_line_stops_them_all(book):
    balance, empty = stock_in(on_hand=6), PlaceFactory()
    before = state()
    with pytest.raises(NotThatMany):
        book(
            Move(balance.lot_id, balance.place_id, -2),
            Move(balance.lot_id, PlaceFactory().pk, 2),
            Move(balance.lot_id, empty.pk, -1),
        )
    assert state() == before


def test_a_refusal_leaves_the_transaction_usable(book):
    balance = stock_in(on_hand=1)
    with transaction.atomic():
        with pytest.raises(NotThatMany):
            book(Move(balance.lot_id, balance.place_id, -2))
        book(Move(balance.lot_id, balance.place_id, -1))
    balance.refresh_from_db()
    assert balance.on_hand == 0


@pytest.mark.parametrize("lot_there", [True, False])
def test_a_lot_or_place_that_is_not_there(book, lot_there):
    lot = LotFactory().pk if lot_there else 10**9
    place = 10**9 if lot_there else PlaceFactory().pk
    before = state()
    with pytest.raises(NoSuchStock, match="not there"):
        book(Move(lot, place, 1))
    assert state() == before


@pytest.mark.parametrize(
    ("changes", "refusal"),
    [
        ([], NothingToPost),
        ([(0, 0)], NothingToPost),
        ([(1, 0), (0, 0)], NothingToPost),
        ([(2.5, 0)], NotWhole),
        ([("3", 0)], NotWhole),
        ([(True, 0)], NotWhole),
        ([(None, 1)], NotWhole),
        ([(1, 0.5)], NotWhole),
        ([(10**9, 0)], TooMany),
        ([(-(10**9), 0)], TooMany),
        ([(0, 10**30)], TooMany),
    ],
)
def test_quantities_that_nobody_can_mean(book, changes, refusal):
    lot = LotFactory()
    before = state()
    moves = [Move(lot.pk, PlaceFactory().pk, *change) for change in changes]
    with pytest.raises(refusal) as refused:
        book(*moves)
    assert refused.value.status == 400
    assert "Nothing was changed." in refused.value.sentence
    assert state() == before


def test_the_largest_quantity_is_taken(book):
    lot, place = LotFactory(), PlaceFactory()
    book(Move(lot.pk, place.pk, MOST))
    assert Balance.objects.get().on_hand == MOST


def test_one_balance_twice_in_a_posting(book):
    balance = stock_in(on_hand=6)
    before = state()
    with pytest.raises(NamedTwice, match="put the two together"):
        book(Move(balance.lot_id, balance.place_id, -2), Move(balance.lot_id, balance.place_id, -1))
    assert state() == before


@pytest.mark.parametrize(
    "words", [{"document": "d" * 61}, {"note": "n" * 501}, {"note": "a\x00b"}, {"document": "\t"}]
)
def test_words_that_cannot_be_kept(book, words):
    balance = stock_in(on_hand=6)
    before = state()
    with pytest.raises(Faulty):
        book(Move(balance.lot_id, balance.place_id, -1), **words)
    assert state() == before


def test_a_kind_that_is_not_there_is_a_slip_of_the_programmer(book):
    with pytest.raises(ValueError, match="gift"):
        book(Move(1, 1, 1), kind="gift")


def test_a_moment_without_a_zone_is_a_slip_of_the_programmer(by):
    with pytest.raises(ValueError, match="time zone"):
        post(kind="move", lines=[Move(1, 1, 1)], by=by, at=dt.datetime(2026, 1, 1))


@pytest.mark.parametrize(
    ("quantity", "refusal"),
    [(0, NoneAsked), (-1, NoneAsked), (10**9, TooMany), (2.5, NotWhole), ("4", NotWhole)],
)
def test_some_is_one_or_more(quantity, refusal):
    with pytest.raises(refusal, match="Nothing was changed"):
        some(quantity)
    assert some(1) == 1
