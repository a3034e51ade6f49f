"""Despatch: what leaves, what is written down of it, and a sentence for each refusal."""

from __future__ import annotations

from datetime import timedelta

import pytest

from inventory.activities import despatching, picking
from inventory.activities.blocking import block
from inventory.activities.despatching import refusals
from inventory.activities.picking.refusals import (
    HoldIsOver,
    ListHasEnded,
    LotIsBlocked,
    NotAtThisStep,
    OrderIsClosed,
)
from inventory.ground.entries.faults import Faulty
from inventory.ground.refusal import Refusal
from inventory.ground.violations import Violated, named_violation
from inventory.ledger.post import Move, post
from inventory.ledger.reconcile import differences
from inventory.models.despatch import Despatch
from inventory.models.hold import HoldState
from inventory.models.lot import Condition, Lot
from inventory.models.pick import PickListState
from inventory.models.posting import Posting, PostingKind
from inventory.models.sale import Order, OrderLine, OrderState
from inventory.release import NobodyReleases
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
    packed,
)
from tests.factories.stock import LotFactory
from tests.factories.when import AT

pytestmark = pytest.mark.django_db
AFTER = AT + timedelta(hours=1)


@pytest.fixture
def tom():
    return UserFactory(username="tom")


@pytest.fixture(autouse=True)
def in_order():
    """Whatever a test did, the books are in order after it."""
    yield
    assert held_as_lines_say()
    assert differences() == []


def send(listed, by, **values):
    return despatching.despatch(pick_list=listed, by=by, at=AFTER, **values)


class TestLeaving:
    """A packed list is sent."""

    def test_its_tyres_leave_the_books(self, tom):
        shop, order, lot, hold = held_set(on_hand=6)
        listed = packed(order, shop, tom, parcels=2)
        assert figures(lot, shop.gather) == (4, 4)
        sent = send(listed, tom, carrier="Pell & Daughter")
        assert (figures(lot, shop.gather), figures(lot, shop.racks[0])) == ((0, 0), (2, 0))
        assert (sent.carrier, sent.parcels, sent.number) == (
            "Pell & Daughter",
            2,
            f"DS-{sent.pk:05}",
        )
        posting = sent.posting
        assert (posting.kind, posting.document, posting.at) == (
            PostingKind.DESPATCH,
            sent.number,
            AFTER,
        )
        assert [(line.on_hand_change, line.held_change) for line in posting.lines.all()] == [
            (-4, -4)
        ]
        hold.refresh_from_db()
        assert (hold.state, hold.ended_by, hold.ended_why) == (
            HoldState.SENT,
            tom,
            f"left with {sent.number}",
        )

    def test_the_order_is_over_when_all_of_it_has_left(self, tom):
        shop, order, *_ = held_set()
        listed = packed(order, shop, tom)
        send(listed, tom)
        order.refresh_from_db()
        listed.refresh_from_db()
        assert (order.state, order.ended_at) == (OrderState.SENT, AFTER)
        assert (listed.state, listed.ended_by) == (PickListState.SENT, tom)
        assert order.lines.get().sent == 1

    def test_what_was_known_is_frozen(self, tom):
        shop, order, lot, hold = held_set()
        sent = send(packed(order, shop, tom), tom)
        front, rear = sent.lines.order_by("pk")
        assert [line.for_place for line in (front, rear)] == ["front", "rear"]
        assert front.known["lot"] == lot.code
        assert front.known["date_code"] == "1425"
        assert front.known["sku"] == lot.sku.code
        assert front.known["size"] == lot.sku.size_text
        assert front.known["approvals"] == []
        (known,) = sent.known["sets"]
        assert (known["hold"], known["may"], known["what"]) == (hold.pk, "leave", "four tyres")
        assert sent.known["cautions"]

    def test_one_lot_in_two_holds_is_one_ledger_line(self, tom):
        shop, sku = Shop(), SkuFactory()
        lot = shop.stock(8, sku=sku)
        order = an_order()
        line = a_line(order, recipe=four_alike(sku), quantity=2)
        parts = [(lot, shop.racks[0], 2, "front"), (lot, shop.racks[0], 2, "rear")]
        hold_for(line, *parts)
        hold_for(line, *parts)
        sent = send(packed(order, shop, tom), tom)
        assert [one.on_hand_change for one in sent.posting.lines.all()] == [-8]
        assert sent.lines.count() == 4
        line.refresh_from_db()
        assert line.sent == 2

    def test_pieces_count_by_the_piece_and_companions_do_not(self, tom):
        shop, sku, tube = Shop(), SkuFactory(), SkuFactory(tube_kind=True)
        lot, tubes = shop.stock(5, sku=sku), shop.stock(5, sku=tube, rack=1, date_code="")
        order = an_order()
        line = a_line(order, sku=sku, quantity=3)
        hold_for(line, (lot, shop.racks[0], 3, ""), (tubes, shop.racks[1], 3, ""))
        send(packed(order, shop, tom), tom)
        line.refresh_from_db()
        assert line.sent == 3


class TestInParts:
    """Not everything leaves at once."""

    def test_the_order_stays_open_for_the_rest(self, tom):
        shop, order, lot, _ = held_pieces(quantity=2, on_hand=5)
        line = order.lines.get()
        OrderLine.objects.filter(pk=line.pk).update(quantity=5)
        send(packed(order, shop, tom), tom)
        order.refresh_from_db()
        line.refresh_from_db()
        assert (order.state, line.sent) == (OrderState.OPEN, 2)
        hold_for(line, (lot, shop.racks[0], 3, ""), by=tom)
        send(packed(order, shop, tom), tom)
        order.refresh_from_db()
        line.refresh_from_db()
        assert (order.state, line.sent) == (OrderState.SENT, 5)
        assert order.despatches.count() == 2

    def test_a_cancelled_line_is_not_waited_for(self, tom):
        shop, order, *_ = held_set()
        a_line(order, sku=SkuFactory(), cancelled=True)
        send(packed(order, shop, tom), tom)
        assert Order.objects.get().state == OrderState.SENT

    def test_no_more_than_was_ordered(self, tom):
        shop, order, lot, _ = held_pieces(quantity=3, on_hand=5)
        listed = packed(order, shop, tom)
        OrderLine.objects.update(quantity=2)
        with pytest.raises(refusals.BeyondTheOrder, match="More would leave than the order"):
            send(listed, tom)
        assert not Despatch.objects.exists()
        assert figures(lot, shop.gather) == (3, 3)

    def test_nor_of_a_line_that_was_cancelled_meanwhile(self, tom):
        shop, order, lot, _ = held_pieces()
        listed = packed(order, shop, tom)
        OrderLine.objects.update(cancelled=True)
        with pytest.raises(refusals.LineWasCancelled, match="3 of"):
            send(listed, tom)
        assert figures(lot, shop.gather) == (3, 3)


class TestAgainstAdvice:
    """The owner's word, and what it is about."""

    def test_over_age_stays_without_it(self, tom):
        shop, order, lot, _ = held_set(date_code="1217")
        listed = packed(order, shop, tom)
        with pytest.raises(refusals.NeedsAWord, match=r"four tyres: Made in the week .* older"):
            send(listed, tom)
        assert figures(lot, shop.gather) == (4, 4)

    def test_leaves_with_it_and_both_are_kept(self, tom):
        edda = UserFactory(username="edda")
        shop, order, *_ = held_set(date_code="1217")
        listed = packed(order, shop, tom)
        given = despatching.give_word(
            pick_list=listed, why=" for a trailer in a museum ", by=edda, at=AFTER
        )
        assert given.word_about[0]["code"].startswith("age limit")
        sent = send(listed, tom)
        assert (sent.word_by, sent.word_at, sent.word_why) == (
            edda,
            AFTER,
            "for a trailer in a museum",
        )
        assert sent.known["sets"][0]["reasons"][0]["code"].startswith("age limit")
        assert sent.known["sets"][0]["may"] == "with_a_word"

    def test_a_word_about_one_thing_is_none_about_another(self, tom, settings):
        shop, sku, old = Shop(), SkuFactory(), "1217"
        lot, aged = shop.stock(3, sku=sku), shop.stock(3, sku=SkuFactory(), date_code=old)
        order = an_order()
        hold_for(a_line(order, sku=aged.sku, quantity=3), (aged, shop.racks[0], 3, ""))
        hold_for(a_line(order, sku=sku, quantity=3), (lot, shop.racks[0], 3, ""))
        listed = packed(order, shop, tom)
        despatching.give_word(pick_list=listed, why="agreed with him", by=tom, at=AFTER)
        settings.HOUSE_AGE_LIMIT_MONTHS = 12  # now the others are over age as well
        with pytest.raises(refusals.NeedsAWord):
            send(listed, tom)
        despatching.give_word(pick_list=listed, why="agreed with him", by=tom, at=AFTER)
        assert send(listed, tom).word_why == "agreed with him"

    def test_a_word_that_is_not_needed_any_more_is_not_kept(self, tom, settings):
        shop, order, *_ = held_set(date_code="1217")
        listed = packed(order, shop, tom)
        despatching.give_word(pick_list=listed, why="agreed", by=tom, at=AFTER)
        settings.HOUSE_AGE_LIMIT_MONTHS = 600
        assert send(listed, tom).word_by is None

    def test_no_word_is_given_about_nothing(self, tom):
        shop, order, *_ = held_set()
        with pytest.raises(refusals.NoWordNeeded):
            despatching.give_word(pick_list=packed(order, shop, tom), why="x", by=tom, at=AFTER)

    def test_nor_without_a_reason_nor_before_packing(self, tom):
        shop, order, *_ = held_set(date_code="1217")
        with pytest.raises(refusals.SayWhy):
            despatching.give_word(pick_list=packed(order, shop, tom), why="  ", by=tom, at=AFTER)
        shop, order, *_ = held_set(date_code="1217")
        listed = picking.make_list(order=order, to_place=shop.gather, by=tom, at=AT)
        with pytest.raises(NotAtThisStep):
            despatching.give_word(pick_list=listed, why="agreed", by=tom, at=AFTER)

    def test_a_word_that_is_too_long(self, tom):
        shop, order, *_ = held_set(date_code="1217")
        with pytest.raises(Faulty):
            despatching.give_word(
                pick_list=packed(order, shop, tom), why="x" * 241, by=tom, at=AFTER
            )

    def test_for_display_nobodys_word_will_do(self, tom):
        shop, order, lot, _ = held_set(lot={"condition": Condition.DISPLAY})
        listed = packed(order, shop, tom)
        with pytest.raises(refusals.MustStay, match="display"):
            send(listed, tom)
        with pytest.raises(refusals.NoWordNeeded):
            despatching.give_word(pick_list=listed, why="agreed", by=tom, at=AFTER)
        assert figures(lot, shop.gather) == (4, 4)


class TestRefused:
    """A sentence each, and nothing is changed."""

    def test_twice(self, tom):
        shop, order, *_ = held_set()
        listed = packed(order, shop, tom)
        send(listed, tom)
        with pytest.raises(ListHasEnded, match=f"{listed.number} was sent by tom"):
            send(listed, tom)
        assert Despatch.objects.count() == 1
        assert Posting.objects.filter(kind=PostingKind.DESPATCH).count() == 1

    def test_before_it_is_packed(self, tom):
        shop, order, *_ = held_set()
        listed = picking.make_list(order=order, to_place=shop.gather, by=tom, at=AT)
        with pytest.raises(NotAtThisStep, match="only a packed list"):
            send(listed, tom)

    def test_a_closed_order(self, tom):
        shop, order, *_ = held_set()
        listed = packed(order, shop, tom)
        Order.objects.update(state=OrderState.CANCELLED, ended_at=AT, ended_by=tom)
        with pytest.raises(OrderIsClosed, match="cancelled"):
            send(listed, tom)

    def test_a_hold_that_was_broken_meanwhile(self, tom):
        shop, order, lot, hold = held_set()
        listed = packed(order, shop, tom)
        post(kind=PostingKind.RELEASE, lines=[Move(lot.pk, shop.gather.pk, 0, -4)], by=tom, at=AT)
        hold.state, hold.ended_at, hold.ended_by = HoldState.BROKEN, AT, tom
        hold.save()
        with pytest.raises(HoldIsOver):
            send(listed, tom)
        assert figures(lot, shop.gather) == (4, 0)

    def test_a_lot_that_was_blocked_meanwhile(self, tom):
        shop, order, lot, _ = held_set()
        listed = packed(order, shop, tom)
        block(lot=lot, reason="recall", by=tom, at=AT)
        with pytest.raises(LotIsBlocked, match="recalled"):
            send(listed, tom)
        assert figures(lot, shop.gather) == (4, 4)

    def test_tyres_that_are_not_where_they_were_gathered(self, tom):
        shop, order, lot, hold = held_set()
        listed = packed(order, shop, tom)
        there, elsewhere = shop.gather.pk, shop.racks[2].pk
        moves = [Move(lot.pk, there, -2, -2), Move(lot.pk, elsewhere, 2, 2)]
        post(kind=PostingKind.MOVE, lines=moves, by=tom, at=AT)
        hold.lines.filter(for_place="rear").update(place=shop.racks[2])
        with pytest.raises(refusals.NotGathered, match="2 of"):
            send(listed, tom)

    @pytest.mark.parametrize("named", ["", None])
    def test_nobody_to_ask(self, tom, settings, named):
        shop, order, lot, _ = held_set()
        listed = packed(order, shop, tom)
        settings.RELEASE = named
        with pytest.raises(NobodyReleases, match="so nothing does"):
            send(listed, tom)
        assert figures(lot, shop.gather) == (4, 4)

    @pytest.mark.parametrize("carrier", ["x" * 201, "a\x00b"])
    def test_a_carrier_that_cannot_be_kept(self, tom, carrier):
        shop, order, lot, _ = held_set()
        listed = packed(order, shop, tom)
        with pytest.raises(Faulty):
            send(listed, tom, carrier=carrier)
        assert figures(lot, shop.gather) == (4, 4)

    def test_each_leaves_everything_as_it_was(self, tom):
        shop, order, *_ = held_set(date_code="1217")
        listed = packed(order, shop, tom)
        before = _everything()
        with pytest.raises(Refusal):
            send(listed, tom)
        assert _everything() == before


class TestWrittenOnce:
    """Nobody changes what has left."""

    def test_the_database_refuses_it(self, tom):
        shop, order, *_ = held_set()
        sent = send(packed(order, shop, tom), tom)
        sent.carrier = "another"
        with pytest.raises(Violated, match="What left has left"), named_violation():
            sent.save()


def _everything():
    tables = (Order, OrderLine, Posting, Lot, Despatch)
    return [list(table.objects.order_by("pk").values()) for table in tables]


def test_lots_of_a_kind_that_is_not_a_tyre_need_no_verdict(tom):
    shop, tube = Shop(), SkuFactory(tube_kind=True)
    lot = LotFactory(sku=tube, undated=True)
    post(kind=PostingKind.OPENING, lines=[Move(lot.pk, shop.racks[0].pk, 4)], by=tom, at=AT)
    order = an_order()
    hold_for(a_line(order, sku=tube, quantity=4), (lot, shop.racks[0], 4, ""))
    sent = send(packed(order, shop, tom), tom)
    assert sent.lines.get().known["age"] == ""
