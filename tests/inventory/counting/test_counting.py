"""Counts: blind, again where they disagree, posted by another above a limit."""

from __future__ import annotations

import pytest

from inventory.activities import counting, moving
from inventory.ground.refusal import Refusal
from inventory.ground.second_person import AnotherPersonIsWanted
from inventory.ledger.post import NotThatMany
from inventory.ledger.reconcile import differences as patrol
from inventory.models.balance import Balance
from inventory.models.count import Count, CountState
from inventory.models.hold import HoldState
from inventory.models.posting import Posting, PostingKind
from stockist.patrol.counting import CHECKS
from tests.factories.places import PlaceFactory
from tests.factories.sending import a_line, an_order, hold_for
from tests.factories.stock import LotFactory, stock_in
from tests.factories.when import AT
from tests.support.concurrency import at_once
from tests.support.people import with_role


@pytest.fixture
def ann(db):
    return with_role("warehouse", "ann")


@pytest.fixture
def tom(db):
    return with_role("warehouse", "tom")


@pytest.fixture
def balance(db):
    """Eight of a lot in a place."""
    return stock_in(on_hand=8, place=PlaceFactory(code="A-01"))


def begun(balance, by):
    return counting.begin(place=balance.place, by=by, at=AT)


def enter(count, lot, quantity, by, **more):
    return counting.enter(count=count, lot=lot, quantity=quantity, by=by, at=AT, **more)


def handed_in(count, by):
    return counting.hand_in(count=count, by=by, at=AT)[0]


def on_hand(lot, place):
    row = Balance.objects.filter(lot=lot, place=place).first()
    return row.on_hand if row else 0


def test_a_count_that_agrees_ends_and_posts_nothing(balance, ann):
    count = begun(balance, ann)
    enter(count, balance.lot, 3, ann)
    assert enter(count, balance.lot, 5, ann).counted == 8
    done = handed_in(count, ann)
    assert (done.state, done.posting, done.ended_by) == (CountState.POSTED, None, ann)


def test_what_disagrees_is_counted_again_and_a_small_difference_posted(balance, ann):
    found = LotFactory()
    count = begun(balance, ann)
    enter(count, balance.lot, 6, ann)
    enter(count, found, 1, ann)
    count = handed_in(count, ann)
    assert count.state == CountState.AGAIN
    enter(count, balance.lot, 7, ann)
    enter(count, found, 1, ann)
    count = handed_in(count, ann)
    assert count.state == CountState.POSTED
    assert (on_hand(balance.lot, balance.place), on_hand(found, balance.place)) == (7, 1)
    assert (count.posting.kind, count.posting.document) == (PostingKind.COUNT, count.number)
    assert not patrol()


def test_the_second_round_counts_only_what_disagreed(balance, ann):
    other = stock_in(place=balance.place, on_hand=2)
    count = begun(balance, ann)
    enter(count, other.lot, 2, ann)
    count = handed_in(count, ann)
    with pytest.raises(counting.NotToCountAgain, match="agreed the first time"):
        enter(count, other.lot, 2, ann)
    enter(count, balance.lot, 8, ann)
    count = handed_in(count, ann)
    assert (count.state, count.posting) == (CountState.POSTED, None)


def test_none_is_an_answer_too_and_what_comes_after_it_is_no_difference(balance, ann):
    """Looked for and not found, before tyres are put there: they are not missing."""
    late = stock_in(on_hand=5)
    count = begun(balance, ann)
    enter(count, balance.lot, 8, ann)
    assert enter(count, late.lot, 0, ann).off == 0
    there = PlaceFactory(site=late.place.site, in_transit=True)
    moving.move(lot=late.lot, source=late.place, target=there, quantity=5, by=ann, at=AT)
    moving.move(lot=late.lot, source=there, target=balance.place, quantity=5, by=ann, at=AT)
    done = handed_in(count, ann)
    assert (done.state, done.posting) == (CountState.POSTED, None)


def to_post(balance, by):
    """Two of eight were found, twice: a difference of six."""
    count = begun(balance, by)
    for _ in range(2):
        enter(count, balance.lot, 2, by)
        count = handed_in(count, by)
    assert count.state == CountState.TO_POST
    return count


def test_a_large_difference_is_posted_by_another_person(balance, ann, tom):
    count = to_post(balance, ann)
    assert on_hand(balance.lot, balance.place) == 8
    with pytest.raises(AnotherPersonIsWanted, match="There are 1 others"):
        counting.post_count(count=count, by=ann, at=AT)
    done, _ = counting.post_count(count=count, by=tom, at=AT)
    assert (done.state, done.ended_by, done.self_checked) == (CountState.POSTED, tom, False)
    assert on_hand(balance.lot, balance.place) == 2
    with pytest.raises(counting.NotToPost):
        counting.post_count(count=count, by=tom, at=AT)


def test_in_a_small_team_it_is_self_checked_and_in_a_larger_one_not(balance, ann, tom):
    count = to_post(balance, ann)
    with_role("owner", "olive")
    with pytest.raises(AnotherPersonIsWanted, match="only where there is no more than 1"):
        counting.post_count(count=count, alone=True, by=ann, at=AT)
    tom.is_active = False
    tom.save()
    done, _ = counting.post_count(count=count, alone=True, by=ann, at=AT)
    assert done.self_checked


def test_the_limit_is_the_houses_and_stands_with_the_count(balance, ann, settings):
    assert to_post(balance, ann).alone_up_to == 4
    settings.ALONE_UP_TO_TYRES = 6
    other = stock_in(on_hand=8)
    count = begun(other, ann)
    for _ in range(2):
        enter(count, other.lot, 2, ann)
        count = handed_in(count, ann)
    count.refresh_from_db()
    assert (count.state, count.alone_up_to) == (CountState.POSTED, 6)
    settings.ALONE_UP_TO_TYRES = 0
    assert [fault for check in CHECKS for fault in check.look().faults] == []


def test_what_moves_while_it_is_counted_is_no_difference(balance, ann):
    """Counted as eight, then three are taken: the ledger is right, and stays so."""
    there = PlaceFactory(site=balance.place.site)
    count = begun(balance, ann)
    enter(count, balance.lot, 8, ann)
    moving.move(lot=balance.lot, source=balance.place, target=there, quantity=3, by=ann, at=AT)
    assert handed_in(count, ann).state == CountState.POSTED
    assert on_hand(balance.lot, balance.place) == 5


def test_what_moves_between_counting_and_posting_moves_in_both(balance, ann, tom):
    there = PlaceFactory(site=balance.place.site)
    count = begun(balance, ann)
    for _ in range(2):
        enter(count, balance.lot, 3, ann)
        count = handed_in(count, ann)
    moving.move(lot=balance.lot, source=balance.place, target=there, quantity=2, by=ann, at=AT)
    counting.post_count(count=count, by=tom, at=AT)
    assert on_hand(balance.lot, balance.place) == 1
    assert on_hand(balance.lot, there) == 2


def test_tyres_that_have_left_since_are_not_taken_twice(balance, ann, tom):
    count = to_post(balance, ann)
    there = PlaceFactory(site=balance.place.site)
    moving.move(lot=balance.lot, source=balance.place, target=there, quantity=5, by=ann, at=AT)
    with pytest.raises(NotThatMany, match="3 of lot"):
        counting.post_count(count=count, by=tom, at=AT)
    counting.give_up(count=count, why="to be counted anew", by=tom, at=AT)
    assert Count.objects.get().state == CountState.GIVEN_UP


def test_the_youngest_holds_are_broken_and_named(balance, ann):
    lines = [a_line(an_order(), sku=balance.lot.sku) for _ in range(2)]
    old, young = (hold_for(line, (balance.lot, balance.place, 4, "front")) for line in lines)
    count = begun(balance, ann)
    enter(count, balance.lot, 6, ann)
    counting.hand_in(count=count, by=ann, at=AT)
    enter(count, balance.lot, 6, ann)
    done, broken = counting.hand_in(count=count, by=ann, at=AT)
    assert list(broken) == [young]
    young.refresh_from_db()
    old.refresh_from_db()
    assert (young.state, old.state) == (HoldState.BROKEN, HoldState.OPEN)
    assert done.number in young.ended_why
    row = Balance.objects.get()
    assert (row.on_hand, row.held) == (6, 4)


def test_a_sku_is_counted_wherever_it_lies_at_a_site(balance, ann):
    sku, site = balance.lot.sku, balance.place.site
    other = stock_in(lot=LotFactory(sku=sku), place=PlaceFactory(site=site), on_hand=1)
    stock_in(lot=LotFactory(sku=sku))
    count = counting.begin(sku=sku, site=site, by=ann, at=AT)
    enter(count, balance.lot, 8, ann, place=balance.place)
    enter(count, other.lot, 1, ann, place=other.place)
    with pytest.raises(counting.OutsideThisCount, match="is not part of it"):
        enter(count, LotFactory(), 1, ann, place=balance.place)
    with pytest.raises(counting.OutsideThisCount):
        enter(count, balance.lot, 1, ann)
    assert handed_in(count, ann).state == CountState.POSTED


def test_only_one_counts_and_another_may_take_it_up(balance, ann, tom):
    count = begun(balance, ann)
    with pytest.raises(counting.BeingCounted, match="ann is counting the same"):
        begun(balance, tom)
    with pytest.raises(counting.InOtherHands, match="ann has"):
        enter(count, balance.lot, 1, tom)
    counting.take_up(count=count, by=tom, at=AT)
    line = enter(count, balance.lot, 1, tom)
    counting.strike(count=count, line=line.pk, by=tom, at=AT)
    assert not count.lines.exists()
    counting.give_up(count=count, why="a fire drill", by=tom, at=AT)
    with pytest.raises(counting.AtItsEnd, match="given up by tom"):
        enter(count, balance.lot, 1, tom)
    assert begun(balance, tom).state == CountState.COUNTING


@pytest.mark.parametrize("quantity", [-1, 1.5, True, 1_000_001])
def test_numbers_that_cannot_be(balance, ann, quantity):
    with pytest.raises(Refusal):
        enter(begun(balance, ann), balance.lot, quantity, ann)


def test_a_count_needs_what_to_count_and_a_reason_to_end(balance, ann):
    with pytest.raises(Refusal):
        counting.begin(by=ann, at=AT)
    count = begun(balance, ann)
    with pytest.raises(Refusal, match="Say why the count is given up"):
        counting.give_up(count=count, why="  ", by=ann, at=AT)


@pytest.mark.django_db(transaction=True)
def test_two_begin_at_once_one_wins(balance, ann, tom):
    answers = at_once(lambda: begun(balance, ann), lambda: begun(balance, tom))
    assert sorted(type(one).__name__ for one in answers) == ["BeingCounted", "Count"]


@pytest.mark.django_db(transaction=True)
def test_two_post_at_once_it_is_posted_once(balance, ann, tom):
    count = to_post(balance, ann)
    olive = with_role("owner", "olive")
    answers = at_once(
        *(lambda by=by: counting.post_count(count=count, by=by, at=AT) for by in (tom, olive))
    )
    assert sorted(type(one).__name__ for one in answers) == ["NotToPost", "tuple"]
    assert Posting.objects.filter(kind=PostingKind.COUNT).count() == 1
    assert on_hand(balance.lot, balance.place) == 2
