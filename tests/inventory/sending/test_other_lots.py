"""Another lot where the set still matches; a short pick chosen again, or told as missing."""

from __future__ import annotations

import pytest

from inventory.activities import picking
from inventory.activities.blocking import block
from inventory.activities.picking import refusals
from inventory.ledger.post import Move, post
from inventory.ledger.reconcile import differences
from inventory.models.hold import HoldState
from inventory.models.lot import Condition
from inventory.models.pick import PickLineState, PickListState
from inventory.models.posting import Posting, PostingKind
from inventory.sets.recipe import Companion, Recipe, RecipePlace
from tests.factories.catalogue import SkuFactory
from tests.factories.people import UserFactory
from tests.factories.sending import (
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


@pytest.fixture
def in_order():
    """Whatever a test did, the books are in order after it."""
    yield
    assert held_as_lines_say()
    assert differences() == []


def asked_for_youth():
    """A set of July 2024 is held for one who wants it no older than 30 months, in November 2026."""
    shop, order, sku = Shop(), an_order(), SkuFactory()
    lot = shop.stock(4, sku=sku, date_code="3024")
    line = a_line(order, recipe=four_alike(sku))
    parts = [(lot, shop.racks[0], 2, axle) for axle in ("front", "rear")]
    hold_for(line, *parts, answer={"age_limit_months": 30})
    return shop, order, sku


def listed(order, shop, by):
    return picking.make_list(order=order, to_place=shop.gather, by=by, at=AT)


def other(found, line, lot, place, by, **values):
    values = {"why": "the label is torn", **values}
    return picking.take_other(
        pick_list=found, line=line, lot=lot, place=place, by=by, at=AT, **values
    )


def short(found, line, count, by, why="not in the rack"):
    return picking.short(pick_list=found, line=line, found=count, why=why, by=by, at=AT)


@pytest.mark.usefixtures("in_order")
class TestAnotherLot:
    """Taken instead, if it may be."""

    def test_within_the_tolerance(self, tom):
        shop, order, lot, hold = held_set()
        near = shop.stock(2, sku=lot.sku, rack=1, date_code="2025")
        found = listed(order, shop, tom)
        front = lines_of(found)[0]
        done = other(found, front, near, shop.racks[1], tom, confirmed="scan")
        assert (done.taken_lot, done.taken_place, done.why) == (
            near,
            shop.racks[1],
            "the label is torn",
        )
        assert figures(lot, shop.racks[0]) == (4, 2)
        assert figures(near, shop.gather) == (2, 2)
        assert hold.lines.filter(lot=near, place=shop.gather, for_place="front").exists()

    def test_too_far_from_the_others(self, tom):
        shop, order, lot, _ = held_set()
        far = shop.stock(1, sku=lot.sku, rack=1, date_code="2024")
        found = listed(order, shop, tom)
        with pytest.raises(refusals.NotMatching, match=r"46 weeks between .* 26 allowed"):
            other(found, lines_of(found)[0], far, shop.racks[1], tom, quantity=1)
        assert figures(far, shop.racks[1]) == (1, 0)

    @pytest.mark.parametrize("code", ["1524", ""])
    def test_older_than_the_customer_asked_for(self, tom, code):
        shop, order, sku = asked_for_youth()
        old = shop.stock(2, sku=sku, rack=1, date_code=code)
        found = listed(order, shop, tom)
        with pytest.raises(refusals.TooOldForThem, match="not older than 30 months, counted to"):
            other(found, lines_of(found)[0], old, shop.racks[1], tom)
        assert figures(old, shop.racks[1]) == (2, 0)
        told = short(found, lines_of(found)[0], 0, tom)
        assert told.instead == ()  # nor is it chosen in place of what is missing
        assert order.lines.get().holds.get().lines.filter(lot=old).count() == 0

    def test_young_enough_for_the_customer(self, tom):
        shop, order, sku = asked_for_youth()
        young = shop.stock(2, sku=sku, rack=1, date_code="2524")
        found = listed(order, shop, tom)
        assert other(found, lines_of(found)[0], young, shop.racks[1], tom).taken_lot == young

    def test_another_mark_on_the_same_axle(self, tom):
        shop, order, lot, _ = held_set()
        marked = shop.stock(1, sku=lot.sku, rack=1, mark="HLM", mark_issue="2")
        found = listed(order, shop, tom)
        with pytest.raises(refusals.NotMatching, match="marks differ"):
            other(found, lines_of(found)[0], marked, shop.racks[1], tom, quantity=1)

    def test_another_tyre_altogether(self, tom):
        shop, order, *_ = held_set()
        foreign = shop.stock(2, sku=SkuFactory(), rack=1)
        found = listed(order, shop, tom)
        with pytest.raises(refusals.NotToBeTaken, match="none of it that would do"):
            other(found, lines_of(found)[0], foreign, shop.racks[1], tom)

    def test_a_reason_is_wanted(self, tom):
        shop, order, lot, _ = held_set()
        near = shop.stock(2, sku=lot.sku, rack=1)
        found = listed(order, shop, tom)
        with pytest.raises(refusals.SayWhy, match="another lot is taken"):
            other(found, lines_of(found)[0], near, shop.racks[1], tom, why=" ")

    def test_the_same_lot_from_another_rack_needs_none(self, tom):
        shop, order, lot, _ = held_set()
        stock_in(lot=lot, place=shop.racks[2], on_hand=2)
        found = listed(order, shop, tom)
        done = other(found, lines_of(found)[0], lot, shop.racks[2], tom, why="")
        assert (done.taken_lot, done.taken_place) == (None, shop.racks[2])
        assert figures(lot, shop.racks[0]) == (4, 2)
        assert figures(lot, shop.racks[2]) == (0, 0)

    def test_the_week_that_was_told_stays(self, tom):
        shop, order, lot, _ = held_set(pinned=True)
        near = shop.stock(2, sku=lot.sku, rack=1, date_code="1525")
        same = shop.stock(2, sku=lot.sku, rack=2, date_code="1425")
        found = listed(order, shop, tom)
        front = lines_of(found)[0]
        with pytest.raises(refusals.WeekWasPromised, match="told 1425"):
            other(found, front, near, shop.racks[1], tom)
        assert other(found, front, same, shop.racks[2], tom).taken_lot == same

    @pytest.mark.parametrize(
        ("held", "lot_fields", "place", "words"),
        [
            (1, {}, "rack", "1 of it are free"),
            (0, {"condition": Condition.FITTED}, "rack", "own new stock"),
            (0, {}, "quarantine", "own new stock"),
            (0, {}, "elsewhere", "another site"),
        ],
    )
    def test_what_is_not_free_new_and_here(self, tom, held, lot_fields, place, words):
        shop, order, lot, _ = held_set()
        places = {"rack": shop.racks[1], "quarantine": shop.quarantine, "elsewhere": None}
        where = places[place] or Shop().racks[0]
        near = stock_in(sku=lot.sku, place=where, on_hand=2, **lot_fields).lot
        if held:
            hold_for(a_line(an_order(), sku=lot.sku), (near, where, held, ""))
        found = listed(order, shop, tom)
        with pytest.raises(refusals.NotToBeTaken, match=words):
            other(found, lines_of(found)[0], near, where, tom)

    def test_a_blocked_one(self, tom):
        shop, order, lot, _ = held_set()
        near = shop.stock(2, sku=lot.sku, rack=1)
        block(lot=near, reason="damaged", by=tom, at=AT)
        found = listed(order, shop, tom)
        with pytest.raises(refusals.LotIsBlocked, match="damaged"):
            other(found, lines_of(found)[0], near, shop.racks[1], tom)

    def test_pieces_are_of_the_same_tyre(self, tom):
        shop, order, lot, _ = held_pieces(quantity=2)
        same = shop.stock(2, sku=lot.sku, rack=1, date_code="1020")
        foreign = shop.stock(2, sku=SkuFactory(), rack=1)
        found = listed(order, shop, tom)
        with pytest.raises(refusals.NotToBeTaken):
            other(found, lines_of(found)[0], foreign, shop.racks[1], tom)
        assert other(found, lines_of(found)[0], same, shop.racks[1], tom).taken == 2


@pytest.mark.usefixtures("in_order")
class TestShort:
    """Fewer were there than the books say."""

    def test_what_is_gone_leaves_the_books_and_the_rest_is_chosen_again(self, tom):
        shop, order, lot, hold = held_set(on_hand=5)
        near = shop.stock(3, sku=lot.sku, rack=1, date_code="1625")
        found = listed(order, shop, tom)
        front = lines_of(found)[0]
        done = short(found, front, 1, tom)
        assert done.missing == ()
        (instead,) = done.instead
        assert (instead.lot, instead.place, instead.quantity, instead.for_place) == (
            near,
            shop.racks[1],
            1,
            "front",
        )
        assert done.words == (
            f"1 of lot {lot} were not in {shop.racks[0]}. Take 1 of {near} from {shop.racks[1]}."
        )
        # One was taken, one is gone, and the free one that nobody saw is gone from the books too.
        assert figures(lot, shop.racks[0]) == (2, 2)
        assert figures(lot, shop.gather) == (1, 1)
        assert figures(near, shop.racks[1]) == (3, 1)
        assert hold.lines.filter(lot=near, for_place="front", quantity=1).exists()
        gone = Posting.objects.get(kind=PostingKind.MISSING)
        assert (gone.document, gone.note) == (found.number, "not in the rack")

    def test_then_picked_and_packed(self, tom):
        shop, order, lot, _ = held_set()
        shop.stock(3, sku=lot.sku, rack=1, date_code="1625")
        found = listed(order, shop, tom)
        short(found, lines_of(found)[0], 0, tom)
        for line in picking.standing(found).to_pick:
            picking.pick(pick_list=found, line=line, by=tom, at=AT)
        done = picking.pack(pick_list=found, parcels=1, by=tom, at=AT)
        assert done.state == PickListState.PACKED
        assert picking.standing(done).taken == 4

    def test_the_oldest_that_match_stand_in(self, tom):
        shop, order, lot, _ = held_set()
        young = shop.stock(3, sku=lot.sku, rack=0, date_code="2825")
        old = shop.stock(3, sku=lot.sku, rack=1, date_code="0525")
        shop.stock(3, sku=lot.sku, rack=1, date_code="0524")  # more than 26 weeks from the others
        found = listed(order, shop, tom)
        (instead,) = short(found, lines_of(found)[0], 1, tom).instead
        assert instead.lot == old
        assert young != old

    def test_the_rest_of_the_set_moves_too_where_nothing_matches_it(self, tom):
        shop, order, lot, hold = held_set()
        others = shop.stock(4, sku=lot.sku, rack=2, date_code="0124")
        recipe = order.lines.get().recipe
        assert recipe["car_tolerance_weeks"] is None
        found = listed(order, shop, tom)
        done = short(found, lines_of(found)[0], 0, tom)
        assert {(one.lot, one.quantity) for one in done.instead} == {(others, 2)}
        assert figures(lot, shop.racks[0]) == (2, 2)  # the rear axle is a match of its own
        assert hold.lines.filter(lot=others, for_place="front").exists()

    def test_an_axle_of_which_one_lot_is_short_is_chosen_anew(self, tom):
        shop, sku = Shop(), SkuFactory()
        first, second = (
            shop.stock(1, sku=sku, rack=n, date_code=c) for n, c in ((0, "1425"), (1, "1525"))
        )
        pair = shop.stock(2, sku=sku, rack=2, date_code="0123")
        order = an_order()
        line = a_line(order, recipe=Recipe((RecipePlace("front", (sku.pk,), 2),)))
        hold_for(line, (first, shop.racks[0], 1, "front"), (second, shop.racks[1], 1, "front"))
        found = listed(order, shop, tom)
        done = short(found, lines_of(found)[0], 0, tom)
        assert done.missing == ()
        assert [one.lot for one in done.instead] == [pair, pair]
        assert sum(one.quantity for one in picking.standing(found).to_pick) == 2
        assert figures(second, shop.racks[1]) == (1, 0)  # free again for others

    def test_but_not_what_is_picked_already(self, tom):
        shop, sku = Shop(), SkuFactory()
        first, second = (
            shop.stock(1, sku=sku, rack=n, date_code=c) for n, c in ((0, "1425"), (1, "1525"))
        )
        shop.stock(2, sku=sku, rack=2, date_code="0123")
        order = an_order()
        line = a_line(order, recipe=Recipe((RecipePlace("front", (sku.pk,), 2),)))
        hold_for(line, (first, shop.racks[0], 1, "front"), (second, shop.racks[1], 1, "front"))
        found = listed(order, shop, tom)
        one, two = lines_of(found)
        picking.pick(pick_list=found, line=one, by=tom, at=AT)
        done = short(found, two, 0, tom)
        assert done.instead == ()
        assert [one.quantity for one in done.missing] == [1]

    def test_a_week_that_was_told_is_not_changed_for_it(self, tom):
        shop, order, lot, _ = held_set(pinned=True)
        shop.stock(3, sku=lot.sku, rack=1, date_code="1525")
        found = listed(order, shop, tom)
        done = short(found, lines_of(found)[0], 1, tom)
        assert done.instead == ()
        assert "Nothing matches: 1 of" in done.words
        same = shop.stock(3, sku=lot.sku, rack=2, date_code="1425")
        again = short(found, lines_of(found)[1], 1, tom)
        # What was missing before is looked for again: the whole set is in the rack now.
        assert [(one.lot, one.quantity, one.for_place) for one in again.instead] == [
            (same, 1, "front"),
            (same, 1, "rear"),
        ]
        assert picking.standing(found).missing == ()

    def test_a_spare_that_matches_the_front(self, tom):
        shop, sku = Shop(), SkuFactory()
        recipe = Recipe(
            (RecipePlace("front", (sku.pk,), 2), RecipePlace("spare", (), 1, joins="front"))
        )
        lot = shop.stock(3, sku=sku, date_code="1425")
        shop.stock(1, sku=sku, rack=1, date_code="0123")
        near = shop.stock(1, sku=sku, rack=2, date_code="2025")
        order = an_order()
        hold_for(
            a_line(order, recipe=recipe),
            (lot, shop.racks[0], 2, "front"),
            (lot, shop.racks[0], 1, "spare"),
        )
        found = listed(order, shop, tom)
        front, spare = lines_of(found)
        picking.pick(pick_list=found, line=front, by=tom, at=AT)
        (instead,) = short(found, spare, 0, tom).instead
        assert (instead.lot, instead.for_place) == (near, "spare")

    def test_a_left_one_by_a_left_one(self, tom):
        shop = Shop()
        left = SkuFactory(left=True)
        right = SkuFactory(right=True, maker=left.maker, pattern=left.pattern)
        recipe = Recipe((RecipePlace("front", (left.pk, right.pk), left=1, right=1),))
        one, two = shop.stock(1, sku=left), shop.stock(2, sku=right, rack=1)
        near = shop.stock(1, sku=left, rack=2, date_code="2025")
        order = an_order()
        hold_for(
            a_line(order, recipe=recipe),
            (one, shop.racks[0], 1, "front"),
            (two, shop.racks[1], 1, "front"),
        )
        found = listed(order, shop, tom)
        (instead,) = short(found, lines_of(found)[0], 0, tom).instead
        assert instead.lot == near

    def test_tubes_from_wherever_they_are(self, tom):
        shop, sku, tube = Shop(), SkuFactory(), SkuFactory(tube_kind=True)
        recipe = Recipe((RecipePlace("front", (sku.pk,), 2),), companions=(Companion(tube.pk, 1),))
        lot = shop.stock(2, sku=sku)
        tubes, more = shop.stock(2, sku=tube, rack=1), shop.stock(9, sku=tube, rack=2, date_code="")
        order = an_order()
        hold_for(
            a_line(order, recipe=recipe),
            (lot, shop.racks[0], 2, "front"),
            (tubes, shop.racks[1], 2, ""),
        )
        found = listed(order, shop, tom)
        (instead,) = short(found, lines_of(found)[1], 1, tom).instead
        assert (instead.lot, instead.quantity, instead.for_place) == (more, 1, "")

    @pytest.mark.parametrize(
        ("count", "refused"), [(2, "not short"), (-1, "not short"), (3, "not short")]
    )
    def test_a_number_that_is_not_short(self, tom, count, refused):
        shop, order, *_ = held_set()
        found = listed(order, shop, tom)
        with pytest.raises(refusals.NotShort, match="not short"):
            short(found, lines_of(found)[0], count, tom)

    def test_a_reason_is_wanted(self, tom):
        shop, order, *_ = held_set()
        found = listed(order, shop, tom)
        with pytest.raises(refusals.SayWhy, match="fewer were found"):
            short(found, lines_of(found)[0], 0, tom, why="")


@pytest.mark.usefixtures("in_order")
class TestLeavingOut:
    """A set that cannot be had."""

    def test_its_tyres_go_back_and_are_free(self, tom):
        shop, order, lot, hold = held_set()
        _, _, other_lot, stays = held_set(shop)
        stays.order_line.order = order
        stays.order_line.position = 2
        stays.order_line.save()
        found = listed(order, shop, tom)
        front, rear, *_ = lines_of(found)
        picking.pick(pick_list=found, line=rear, by=tom, at=AT)
        short(found, front, 1, tom)
        with pytest.raises(refusals.StillToDo, match="missing for four tyres"):
            picking.pack(pick_list=found, parcels=1, by=tom, at=AT)
        picking.leave_out(pick_list=found, hold=hold, why="one is lost", by=tom, at=AT)
        hold.refresh_from_db()
        assert (hold.state, hold.ended_why) == (HoldState.BROKEN, "one is lost")
        assert figures(lot, shop.racks[0]) == (3, 0)
        assert figures(lot, shop.gather) == (0, 0)
        assert {line.hold_id for line in picking.standing(found).lines} == {stays.pk}
        states = {line.state for line in found.lines.filter(hold=hold)}
        assert states == {PickLineState.BACK}
        assert figures(other_lot, shop.racks[0]) == (4, 4)

    def test_the_last_one_ends_the_list(self, tom):
        shop, order, _, hold = held_set()
        found = listed(order, shop, tom)
        done = picking.leave_out(pick_list=found, hold=hold, why="all lost", by=tom, at=AT)
        assert (done.state, done.ended_why) == (PickListState.CANCELLED, "all lost")

    def test_what_was_broken_meanwhile_goes_back_as_well(self, tom):
        shop, order, lot, hold = held_pieces(quantity=3)
        found = listed(order, shop, tom)
        picking.pick(pick_list=found, line=lines_of(found)[0], by=tom, at=AT)
        post(kind=PostingKind.RELEASE, lines=[Move(lot.pk, shop.gather.pk, 0, -3)], by=tom, at=AT)
        hold.state, hold.ended_at, hold.ended_by = HoldState.BROKEN, AT, tom
        hold.save()
        picking.leave_out(pick_list=found, hold=hold, why="recalled", by=tom, at=AT)
        assert figures(lot, shop.racks[0]) == (5, 0)
        assert figures(lot, shop.gather) == (0, 0)

    def test_a_hold_that_is_not_on_the_list(self, tom):
        shop, order, *_ = held_set()
        _, _, _, foreign = held_set(shop)
        found = listed(order, shop, tom)
        with pytest.raises(refusals.LineOfAnotherList):
            picking.leave_out(pick_list=found, hold=foreign, why="gone", by=tom, at=AT)
