"""Moving tyres between places and sites."""

from __future__ import annotations

import pytest

from inventory.activities.moving import (
    AnotherSite,
    SamePlace,
    Step,
    ThereAndBack,
    move,
    move_together,
)
from inventory.ledger.moves import NoneAsked, NothingToPost, NotWhole, TooMany
from inventory.ledger.post import NotThatMany
from inventory.models.balance import Balance
from inventory.models.posting import Posting
from tests.factories.people import UserFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.stock import stock_in
from tests.factories.when import AT
from tests.support.counting import queries_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def by():
    return UserFactory()


@pytest.fixture
def balance():
    return stock_in(on_hand=6)


@pytest.fixture
def lot(balance):
    return balance.lot


@pytest.fixture
def source(balance):
    return balance.place


@pytest.fixture
def target(source):
    return PlaceFactory(site=source.site)


def on_hand():
    return {b.place_id: b.on_hand for b in Balance.objects.order_by("pk") if b.on_hand}


def test_from_place_to_place(by, lot, source, target):
    posting = move(
        lot=lot, source=source, target=target, quantity=4, by=by, at=AT, document="P-1", note="up"
    )
    assert on_hand() == {source.pk: 2, target.pk: 4}
    assert (posting.kind, posting.document, posting.note) == ("move", "P-1", "up")
    assert (posting.recorded_by, posting.at) == (by, AT)


def test_back_again(by, lot, source, target):
    move(lot=lot, source=source, target=target, quantity=6, by=by, at=AT)
    move(lot=lot, source=target, target=source, quantity=6, by=by, at=AT)
    assert on_hand() == {source.pk: 6}


def test_two_queries(by, lot, source, target):
    """Whether holds have to go along, and the posting."""
    call = lambda: move(lot=lot, source=source, target=target, quantity=1, by=by, at=AT)  # noqa: E731
    assert queries_of(call) == 2


@pytest.mark.parametrize(
    ("quantity", "refusal"),
    [
        (7, NotThatMany),
        (0, NoneAsked),
        (-1, NoneAsked),
        (10**9, TooMany),
        (2.5, NotWhole),
        ("4", NotWhole),
    ],
)
def test_quantities_refused(by, lot, source, target, quantity, refusal):
    with pytest.raises(refusal, match="Nothing was changed"):
        move(lot=lot, source=source, target=target, quantity=quantity, by=by, at=AT)
    assert on_hand() == {source.pk: 6}
    assert Posting.objects.count() == 1


def test_held_tyres_stay(by, target):
    held = stock_in(on_hand=6, held=4, place=PlaceFactory(site=target.site, code="H1"))
    with pytest.raises(NotThatMany, match=r"6 of lot .* are in H1, 4 of them held, so 2 are free"):
        move(lot=held.lot, source=held.place, target=target, quantity=3, by=by, at=AT)


def test_to_where_they_are(by, lot, source):
    with pytest.raises(SamePlace, match=f"in {source.code} already"):
        move(lot=lot, source=source, target=source, quantity=1, by=by, at=AT)


def test_another_site_only_by_way_of_a_place_in_transit(by, lot, source):
    van = PlaceFactory(site=SiteFactory(van=True))
    with pytest.raises(AnotherSite, match="into a place in transit first"):
        move(lot=lot, source=source, target=van, quantity=4, by=by, at=AT)
    on_the_way = PlaceFactory(site=source.site, in_transit=True)
    move(lot=lot, source=source, target=on_the_way, quantity=4, by=by, at=AT)
    move(lot=lot, source=on_the_way, target=van, quantity=4, by=by, at=AT)
    assert on_hand() == {source.pk: 2, van.pk: 4}


class TestTogether:
    def test_a_van_loaded_at_once(self, by, source):
        target = PlaceFactory(in_transit=True)
        balances = [stock_in(on_hand=4, place=source) for _ in range(3)]
        posting = move_together(
            steps=[Step(balance.lot, source, target, 2) for balance in balances], by=by, at=AT
        )
        assert posting.lines.count() == 6
        assert sum(target.balances.values_list("on_hand", flat=True)) == 6

    def test_all_or_none(self, by, lot, source, target):
        empty = PlaceFactory(site=source.site)
        steps = [Step(lot, source, target, 2), Step(lot, empty, target, 1)]
        with pytest.raises(NotThatMany):
            move_together(steps=steps, by=by, at=AT)
        assert on_hand() == {source.pk: 6}

    def test_one_lot_to_two_places(self, by, lot, source, target):
        other = PlaceFactory(site=source.site)
        steps = [Step(lot, source, target, 2), Step(lot, source, other, 3)]
        assert move_together(steps=steps, by=by, at=AT).lines.count() == 3
        assert on_hand() == {source.pk: 1, target.pk: 2, other.pk: 3}

    def test_by_way_of_another(self, by, lot, source, target):
        other = PlaceFactory(site=source.site)
        steps = [Step(lot, source, target, 2), Step(lot, target, other, 2)]
        assert move_together(steps=steps, by=by, at=AT).lines.count() == 2
        assert on_hand() == {source.pk: 4, other.pk: 2}

    def test_there_and_back(self, by, lot, source, target):
        steps = [Step(lot, source, target, 2), Step(lot, target, source, 2)]
        with pytest.raises(ThereAndBack):
            move_together(steps=steps, by=by, at=AT)
        assert Posting.objects.count() == 1

    def test_nothing_to_move(self, by):
        with pytest.raises(NothingToPost):
            move_together(steps=[], by=by, at=AT)

    def test_every_step_is_looked_over_first(self, by, lot, source, target):
        steps = [Step(lot, source, target, 2), Step(lot, source, source, 1)]
        with pytest.raises(SamePlace):
            move_together(steps=steps, by=by, at=AT)
