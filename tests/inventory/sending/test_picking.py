"""Pick lists: in walking order, each line confirmed, packed; a sentence for each refusal."""

from __future__ import annotations

import pytest

from inventory.activities import picking
from inventory.activities.blocking import block
from inventory.activities.picking import refusals
from inventory.ground.refusal import Refusal
from inventory.ledger.moves import NoneAsked, NotWhole, TooMany
from inventory.ledger.reconcile import differences
from inventory.models.hold import Hold, HoldState
from inventory.models.pick import Confirmed, PickLineState, PickListState
from inventory.models.posting import Posting
from inventory.models.sale import OrderState
from tests.factories.catalogue import GtinFactory, SkuFactory
from tests.factories.people import UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.sending import (
    LATER,
    Shop,
    a_line,
    an_order,
    figures,
    four_alike,
    held_as_lines_say,
    held_pieces,
    held_set,
    hold_for,
    lines_of,
)
from tests.factories.stock import stock_in
from tests.factories.when import AT

pytestmark = pytest.mark.django_db


@pytest.fixture
def tom():
    return UserFactory(username="tom")


def listed(order, shop, by):
    return picking.make_list(order=order, to_place=shop.gather, by=by, at=AT)


def pick_all(found, by, at=AT):
    for line in lines_of(found):
        if line.state == PickLineState.OPEN:
            picking.pick(pick_list=found, line=line, by=by, at=at)
    found.refresh_from_db()


class TestMaking:
    """What the warehouse is asked for."""

    def test_in_walking_order_with_what_is_held(self, tom):
        shop, sku = Shop(), SkuFactory()
        far, near = shop.stock(2, sku=sku, rack=2), shop.stock(2, sku=sku, rack=0)
        order = an_order()
        line = a_line(order, recipe=four_alike(sku))
        hold_for(line, (far, shop.racks[2], 2, "front"), (near, shop.racks[0], 2, "rear"))
        found = listed(order, shop, tom)
        lines = picking.standing(found).to_pick
        assert [(one.lot, one.quantity, one.for_place) for one in lines] == [
            (near, 2, "rear"),
            (far, 2, "front"),
        ]
        assert found.state == PickListState.OPEN
        assert found.number.startswith("PL-")

    def test_one_list_at_a_time(self, tom):
        shop, order, *_ = held_set()
        first = listed(order, shop, tom)
        with pytest.raises(refusals.PickedAlready, match=first.number):
            listed(order, shop, tom)

    def test_a_closed_order(self, tom):
        shop, order, *_ = held_set()
        order.state, order.ended_at, order.ended_by = OrderState.CANCELLED, AT, tom
        order.save()
        with pytest.raises(refusals.OrderIsClosed, match="cancelled"):
            listed(order, shop, tom)

    def test_nothing_is_held(self, tom):
        with pytest.raises(refusals.NothingIsHeld, match="hold its tyres first"):
            listed(an_order(), Shop(), tom)

    def test_not_into_a_rack(self, tom):
        shop, order, *_ = held_set()
        with pytest.raises(refusals.NotForDespatch, match="storage"):
            picking.make_list(order=order, to_place=shop.racks[0], by=tom, at=AT)

    def test_a_place_of_another_site(self, tom):
        shop, order, *_ = held_set()
        other = Shop()
        with pytest.raises(refusals.HeldElsewhere, match=shop.site.name):
            listed(order, other, tom)
        assert order.pick_lists.count() == 0

    def test_a_set_that_lies_elsewhere_waits_for_a_list_of_its_own(self, tom):
        shop, order, _, here = held_set()
        other = Shop()
        sku = SkuFactory()
        lot = other.stock(4, sku=sku)
        line = a_line(order, recipe=four_alike(sku))
        hold_for(line, (lot, other.racks[0], 2, "front"), (lot, other.racks[0], 2, "rear"))
        assert {line.hold_id for line in lines_of(listed(order, shop, tom))} == {here.pk}


class TestPicking:
    """A line confirmed."""

    def test_the_tyres_are_held_where_they_are_gathered(self, tom):
        shop, order, lot, hold = held_set(on_hand=6)
        found = listed(order, shop, tom)
        front, rear = lines_of(found)
        picking.pick(pick_list=found, line=front, confirmed="scan", by=tom, at=AT)
        assert figures(lot, shop.racks[0]) == (4, 2)
        assert figures(lot, shop.gather) == (2, 2)
        picking.pick(pick_list=found, line=rear, by=tom, at=AT)
        assert figures(lot, shop.racks[0]) == (2, 0)
        assert figures(lot, shop.gather) == (4, 4)
        found.refresh_from_db()
        assert found.state == PickListState.PICKED
        front, rear = lines_of(found)
        assert (front.confirmed, rear.confirmed) == (Confirmed.SCAN, Confirmed.HAND)
        assert (front.picked_by, front.picked_at, front.taken) == (tom, AT, 2)
        places = hold.lines.values_list("place", flat=True)
        assert set(places) == {shop.gather.pk}
        assert held_as_lines_say()
        assert differences() == []

    def test_some_of_a_line_at_a_time(self, tom):
        shop, order, lot, _ = held_pieces(quantity=3)
        found = listed(order, shop, tom)
        picking.pick(pick_list=found, line=lines_of(found)[0], quantity=1, by=tom, at=AT)
        stands = picking.standing(found)
        assert [line.quantity for line in stands.to_pick] == [2]
        assert (stands.taken, stands.tyres) == (1, 3)
        assert figures(lot, shop.gather) == (1, 1)
        assert held_as_lines_say()

    def test_twice(self, tom):
        shop, order, lot, _ = held_pieces()
        found = listed(order, shop, tom)
        (line,) = lines_of(found)
        picking.pick(pick_list=found, line=line, by=tom, at=AT)
        with pytest.raises(refusals.LineIsDone, match="picked already, by tom"):
            picking.pick(pick_list=found, line=line, by=UserFactory(), at=LATER)
        assert figures(lot, shop.gather) == (3, 3)

    @pytest.mark.parametrize(
        ("quantity", "refused"),
        [
            (0, NoneAsked),
            (-1, NoneAsked),
            (4, refusals.MoreThanAsked),
            (10**9, TooMany),
            (2.5, NotWhole),
        ],
    )
    def test_a_quantity_that_is_none(self, tom, quantity, refused):
        shop, order, lot, _ = held_pieces(quantity=3)
        found = listed(order, shop, tom)
        with pytest.raises(refused, match="Nothing was changed"):
            picking.pick(pick_list=found, line=lines_of(found)[0], quantity=quantity, by=tom, at=AT)
        assert figures(lot, shop.racks[0]) == (5, 3)

    def test_a_blocked_lot(self, tom):
        shop, order, lot, _ = held_pieces()
        found = listed(order, shop, tom)
        block(lot=lot, reason="recall", by=tom, at=AT)
        with pytest.raises(refusals.LotIsBlocked, match="recalled"):
            picking.pick(pick_list=found, line=lines_of(found)[0], by=tom, at=AT)

    def test_what_is_not_held_any_more(self, tom):
        shop, order, _, hold = held_pieces()
        found = listed(order, shop, tom)
        Hold.objects.filter(pk=hold.pk).update(
            state=HoldState.BROKEN, ended_at=AT, ended_by=tom, ended_why="counted: not there"
        )
        with pytest.raises(refusals.HoldIsOver, match="counted: not there"):
            picking.pick(pick_list=found, line=lines_of(found)[0], by=tom, at=AT)

    def test_a_line_of_another_list(self, tom):
        shop, order, *_ = held_pieces()
        _, other, *_ = held_pieces(shop)
        found, foreign = listed(order, shop, tom), listed(other, shop, tom)
        with pytest.raises(refusals.LineOfAnotherList):
            picking.pick(pick_list=found, line=lines_of(foreign)[0], by=tom, at=AT)

    def test_not_once_it_is_packed(self, tom):
        shop, order, *_ = held_pieces()
        found = listed(order, shop, tom)
        pick_all(found, tom)
        picking.pack(pick_list=found, parcels=1, by=tom, at=AT)
        with pytest.raises(refusals.NotAtThisStep, match="packed"):
            picking.pick(pick_list=found, line=lines_of(found)[0], by=tom, at=AT)


class TestPacking:
    """All of it in parcels."""

    def test_who_when_and_how_many(self, tom):
        shop, order, *_ = held_set()
        found = listed(order, shop, tom)
        pick_all(found, tom)
        done = picking.pack(pick_list=found, parcels=2, by=tom, at=AT)
        assert (done.state, done.parcels, done.packed_by) == (PickListState.PACKED, 2, tom)

    def test_not_before_all_is_picked(self, tom):
        shop, order, lot, _ = held_set()
        found = listed(order, shop, tom)
        with pytest.raises(refusals.StillToDo, match=f"2 of {lot} to be picked"):
            picking.pack(pick_list=found, parcels=1, by=tom, at=AT)

    @pytest.mark.parametrize("parcels", [0, -1, 10**9, 2.5, True])
    def test_a_number_of_parcels_that_is_none(self, tom, parcels):
        shop, order, *_ = held_set()
        found = listed(order, shop, tom)
        pick_all(found, tom)
        with pytest.raises(refusals.NotThatManyParcels, match="say 1 to 999"):
            picking.pack(pick_list=found, parcels=parcels, by=tom, at=AT)


class TestCancelling:
    """What was picked goes back."""

    @pytest.mark.parametrize("packed", [False, True])
    def test_back_to_its_rack_and_held_as_before(self, tom, packed):
        shop, order, lot, hold = held_set()
        before = list(hold.lines.values_list("lot", "place", "for_place", "quantity"))
        found = listed(order, shop, tom)
        picking.pick(pick_list=found, line=lines_of(found)[0], by=tom, at=AT)
        if packed:
            pick_all(found, tom)
            picking.pack(pick_list=found, parcels=1, by=tom, at=AT)
        done = picking.cancel_list(pick_list=found, why="the van is full", by=tom, at=AT)
        assert (done.state, done.ended_why) == (PickListState.CANCELLED, "the van is full")
        assert figures(lot, shop.racks[0]) == (4, 4)
        assert figures(lot, shop.gather) == (0, 0)
        assert sorted(hold.lines.values_list("lot", "place", "for_place", "quantity")) == sorted(
            before
        )
        assert held_as_lines_say()
        again = listed(order, shop, tom)  # and it may be asked for again
        pick_all(again, tom)
        assert again.state == PickListState.PICKED

    def test_says_why(self, tom):
        shop, order, *_ = held_set()
        with pytest.raises(refusals.SayWhy, match="the list is cancelled"):
            picking.cancel_list(pick_list=listed(order, shop, tom), why=" ", by=tom, at=AT)

    def test_once(self, tom):
        shop, order, *_ = held_set()
        found = listed(order, shop, tom)
        picking.cancel_list(pick_list=found, why="a mistake", by=tom, at=AT)
        with pytest.raises(refusals.ListHasEnded, match="cancelled by tom"):
            picking.cancel_list(pick_list=found, why="a mistake", by=tom, at=AT)


class TestScanning:
    """What a scan says of a line."""

    @pytest.fixture
    def line(self, tom):
        shop, order, *_ = held_pieces()
        return lines_of(listed(order, shop, tom))[0]

    def test_the_lot_itself(self, line):
        assert picking.scanned_for(line, f" {line.lot.code.lower()} ").asked

    def test_the_tyre_where_only_this_lot_of_it_lies(self, line):
        number = GtinFactory(skus=[line.lot.sku]).number
        for text in (line.lot.sku.code, number, number.lstrip("0"), line.place.code):
            assert picking.scanned_for(line, text).asked

    def test_the_tyre_where_several_lots_of_it_lie(self, line):
        other = stock_in(sku=line.lot.sku, place=line.place).lot
        with pytest.raises(picking.NotRead, match=other.code):
            picking.scanned_for(line, line.lot.sku.code)

    def test_another_lot_and_where_it_lies(self, line):
        rack = PlaceFactory(site=line.place.site)
        other = stock_in(sku=line.lot.sku, place=rack).lot
        found = picking.scanned_for(line, other.code)
        assert (found.lot, found.place, found.asked) == (other, rack, False)

    def test_another_lot_of_another_site(self, line):
        other = stock_in(sku=line.lot.sku).lot
        with pytest.raises(picking.NotRead, match="none of lot"):
            picking.scanned_for(line, other.code)

    def test_another_place(self, line):
        with pytest.raises(picking.NotRead, match="another place"):
            picking.scanned_for(line, PlaceFactory().code)

    @pytest.mark.parametrize("text", ["", "nonsense", "952123456789", "185/70 R 15"])
    def test_nothing_of_the_kind(self, line, text):
        with pytest.raises(picking.NotRead, match="is wanted"):
            picking.scanned_for(line, text)


def test_refusals_book_nothing(tom):
    shop, order, *_ = held_set()
    found = listed(order, shop, tom)
    before = Posting.objects.count()
    for call in (
        lambda: picking.pick(pick_list=found, line=lines_of(found)[0], quantity=9, by=tom, at=AT),
        lambda: picking.pack(pick_list=found, parcels=1, by=tom, at=AT),
        lambda: picking.cancel_list(pick_list=found, why="", by=tom, at=AT),
    ):
        with pytest.raises(Refusal):
            call()
    assert Posting.objects.count() == before
