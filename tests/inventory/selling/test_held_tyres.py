"""Moves, counts and blocks of tyres that are held."""

from __future__ import annotations

from datetime import timedelta

import pytest

from inventory.activities.blocking import block
from inventory.activities.correcting import MoreAreHeld, recount
from inventory.activities.held_tyres import HeldTyresStay, NotForHeldTyres
from inventory.activities.holding import hold_pieces
from inventory.activities.holding.refusals import IsBeingPicked
from inventory.activities.moving import Step, move, move_together
from inventory.activities.picking import make_list, pick
from inventory.activities.transferring import Load, book_arrival, send_off
from inventory.ledger.post import NotThatMany
from inventory.models.hold import HoldState
from inventory.models.place import PlaceKind
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.sending import Shop, figures, held_as_lines_say, held_set, lines_of
from tests.factories.when import AT

pytestmark = pytest.mark.django_db


@pytest.fixture
def by():
    return UserFactory()


@pytest.fixture
def shop():
    return Shop()


@pytest.fixture
def sku():
    return SkuFactory()


@pytest.fixture
def lot(shop, sku):
    return shop.stock(6, sku=sku)


@pytest.fixture
def held(lot, sku, by):
    """Four of six, by two holds: three, then one."""
    return [
        hold_pieces(
            customer=CustomerFactory(),
            sku=sku,
            quantity=quantity,
            until=AT + timedelta(days=2),
            by=by,
            at=AT,
        )
        for quantity in (3, 1)
    ]


class TestMoving:
    def go(self, lot, shop, quantity, by, target=None):
        told = {"lot": lot, "source": shop.racks[0], "target": target or shop.racks[1]}
        return move(quantity=quantity, by=by, at=AT, **told)

    def test_free_tyres_go_and_holds_stay(self, shop, lot, held, by):
        self.go(lot, shop, 2, by)
        assert figures(lot, shop.racks[0]) == (4, 4)
        assert figures(lot, shop.racks[1]) == (2, 0)
        assert held_as_lines_say()

    def test_all_of_them_and_the_holds_go_along(self, shop, lot, held, by):
        self.go(lot, shop, 6, by)
        assert figures(lot, shop.racks[0]) == (0, 0)
        assert figures(lot, shop.racks[1]) == (6, 4)
        assert {one.lines.get().place for one in held} == {shop.racks[1]}
        assert held_as_lines_say()

    def test_some_of_the_held_ones(self, shop, lot, held, by):
        with pytest.raises(HeldTyresStay, match=f"4 of lot .* are held .*{held[0].number}") as told:
            self.go(lot, shop, 3, by)
        assert "2 are free" in told.value.sentence
        assert figures(lot, shop.racks[0]) == (6, 4)

    def test_to_two_places_at_once(self, shop, lot, held, by):
        steps = [Step(lot, shop.racks[0], shop.racks[number], 3) for number in (1, 2)]
        with pytest.raises(HeldTyresStay):
            move_together(steps=steps, by=by, at=AT)

    @pytest.mark.parametrize("place", ["quarantine", "gather"])
    def test_to_where_nothing_is_promised_from(self, shop, lot, held, by, place):
        with pytest.raises(NotForHeldTyres, match="Release what is held first"):
            self.go(lot, shop, 6, by, target=getattr(shop, place))
        assert held_as_lines_say()

    def test_more_than_there_are(self, shop, lot, held, by):
        with pytest.raises(NotThatMany):
            self.go(lot, shop, 7, by)

    def test_what_is_being_picked(self, by):
        shop, order, lot, _ = held_set(on_hand=4)
        listed = make_list(order=order, to_place=shop.gather, by=by, at=AT)
        with pytest.raises(IsBeingPicked, match=listed.number):
            self.go(lot, shop, 4, by)
        pick(pick_list=listed, line=lines_of(listed)[0], by=by, at=AT)
        assert held_as_lines_say()

    def test_by_a_transfer_to_another_site(self, shop, lot, held, by):
        on_the_way = PlaceFactory(site=shop.site, kind=PlaceKind.IN_TRANSIT)
        other = Shop()
        loads = [Load(lot, shop.racks[0], 6)]
        transfer = send_off(from_site=shop.site, to_site=other.site, loads=loads, by=by, at=AT)
        assert figures(lot, on_the_way) == (6, 4)
        book_arrival(transfer=transfer, came={lot.pk: 6}, place=other.racks[0], by=by, at=AT)
        assert figures(lot, other.racks[0]) == (6, 4)
        assert held_as_lines_say()


class TestCounting:
    def count(self, lot, shop, counted, by, **told):
        asked = {"lot": lot, "place": shop.racks[0], "why": "counted twice"}
        return recount(counted=counted, by=by, at=AT, **asked, **told)

    def test_as_many_as_are_held(self, shop, lot, held, by):
        self.count(lot, shop, 4, by)
        assert figures(lot, shop.racks[0]) == (4, 4)

    def test_fewer_than_are_held(self, shop, lot, held, by):
        with pytest.raises(MoreAreHeld, match=f"4 of lot .*{held[1].number}"):
            self.count(lot, shop, 3, by)
        assert figures(lot, shop.racks[0]) == (6, 4)

    def test_the_youngest_holds_break(self, shop, lot, held, by):
        self.count(lot, shop, 3, by, breaks=True)
        assert figures(lot, shop.racks[0]) == (3, 3)
        for one in held:
            one.refresh_from_db()
        assert [one.state for one in held] == [HoldState.OPEN, HoldState.BROKEN]
        assert "3 of lot" in held[1].ended_why
        assert held_as_lines_say()

    def test_none_are_left(self, shop, lot, held, by):
        self.count(lot, shop, 0, by, breaks=True)
        assert figures(lot, shop.racks[0]) == (0, 0)
        assert held_as_lines_say()


class TestBlocking:
    def test_what_is_held_stays_held(self, shop, lot, held, by):
        block(lot=lot, reason="to_be_checked", by=by, at=AT)
        assert figures(lot, shop.racks[0]) == (6, 4)

    def test_unless_it_is_said_that_it_breaks(self, shop, lot, held, by):
        block(lot=lot, reason="recall", breaks=True, by=by, at=AT)
        assert figures(lot, shop.racks[0]) == (6, 0)
        held[0].refresh_from_db()
        assert (held[0].state, held[0].ended_why) == (
            "broken",
            f"lot {lot.code} is blocked: recalled",
        )
        assert held_as_lines_say()
