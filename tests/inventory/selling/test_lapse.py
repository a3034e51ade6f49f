"""From the moment a hold runs out its tyres are free: reads say so, writes let it go."""

from __future__ import annotations

from datetime import timedelta

import pytest

from inventory.activities.blocking import block
from inventory.activities.correcting import misread, recount, take_back
from inventory.activities.holding import hold_pieces, hold_sets
from inventory.activities.moving import move
from inventory.activities.ordering import AskSets, take_order
from inventory.availability import Need, lots_of, promises, stock_of
from inventory.ledger.lapse import tidy
from inventory.ledger.post import NotThatMany
from inventory.models.hold import Hold, HoldState
from inventory.models.posting import Posting
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.sending import Shop, figures, four_alike, held_as_lines_say
from tests.factories.stock import LotFactory
from tests.factories.when import AT
from tests.support.counting import queries_of

pytestmark = pytest.mark.django_db
FRIDAY = AT + timedelta(days=4)
BEFORE = FRIDAY - timedelta(seconds=1)


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
    return shop.stock(4, sku=sku)


@pytest.fixture
def held(lot, sku, by):
    """All four held until Friday at ten."""
    need = Need("any", four_alike(sku))
    told = {"customer": CustomerFactory(), "what": "four alike", "by": by, "at": AT}
    (made,) = hold_sets(need=need, until=FRIDAY, **told)
    return made


def let_go(hold, by):
    hold.refresh_from_db()
    posting = Posting.objects.get(document=hold.number, kind="release")
    assert (hold.state, hold.ended_by, posting.recorded_by) == (HoldState.LAPSED, by, by)
    assert hold.ended_why == "ran out on 27.11.2026 at 10:00"
    assert held_as_lines_say()


class TestReads:
    def test_sets(self, held, sku):
        need = [Need("any", four_alike(sku))]
        assert promises(need, at=BEFORE)[0].sets == 0
        assert promises(need, at=FRIDAY)[0].sets == 1

    def test_figures(self, held, sku):
        (before,), (after,) = (stock_of([sku.pk], at=at).values() for at in (BEFORE, FRIDAY))
        assert (before.in_the_racks, before.spoken_for, before.to_sell) == (4, 4, 0)
        assert (after.in_the_racks, after.spoken_for, after.to_sell) == (4, 0, 4)

    def test_lots(self, held, sku):
        (before,), (after,) = (lots_of([sku.pk], at=at) for at in (BEFORE, FRIDAY))
        assert (before.free, after.free) == (0, 4)

    def test_what_is_an_orders_does_not_run_out(self, held, sku, by):
        held.order_line = take_order(
            customer=held.customer,
            asks=[AskSets(need=Need("any", four_alike(sku)), what="four alike")],
            holding="nothing",
            by=by,
            at=AT,
        ).lines.get()
        held.save(update_fields=["order_line"])
        assert promises([Need("any", four_alike(sku))], at=FRIDAY)[0].sets == 0

    def test_reading_changes_nothing(self, held, sku):
        promises([Need("any", four_alike(sku))], at=FRIDAY)
        held.refresh_from_db()
        assert held.state == HoldState.OPEN


class TestWrites:
    def test_another_hold(self, held, lot, shop, sku):
        other = UserFactory()
        told = {"customer": CustomerFactory(), "until": FRIDAY + timedelta(days=1)}
        hold_pieces(sku=sku, quantity=3, by=other, at=FRIDAY, **told)
        let_go(held, other)
        assert figures(lot, shop.racks[0]) == (4, 3)

    def test_an_order(self, held, lot, shop, sku):
        other = UserFactory()
        asked = AskSets(need=Need("any", four_alike(sku)), what="four alike")
        take_order(customer=CustomerFactory(), asks=[asked], by=other, at=FRIDAY)
        let_go(held, other)
        assert figures(lot, shop.racks[0]) == (4, 4)

    def test_a_move(self, held, lot, shop):
        other = UserFactory()
        told = {"lot": lot, "source": shop.racks[0], "target": shop.quarantine}
        move(quantity=3, by=other, at=FRIDAY, **told)
        let_go(held, other)
        assert figures(lot, shop.quarantine) == (3, 0)

    def test_a_count(self, held, lot, shop):
        other = UserFactory()
        recount(lot=lot, place=shop.racks[0], counted=1, why="counted", by=other, at=FRIDAY)
        let_go(held, other)
        assert figures(lot, shop.racks[0]) == (1, 0)

    def test_a_misread_sidewall(self, held, lot, shop, sku):
        other, into = UserFactory(), LotFactory(sku=sku)
        told = {"lot": lot, "into": into, "place": shop.racks[0], "why": "1425 is 1435"}
        misread(quantity=4, by=other, at=FRIDAY, **told)
        let_go(held, other)
        assert figures(into, shop.racks[0]) == (4, 0)

    def test_a_posting_taken_back(self, held, lot, shop):
        other = UserFactory()
        opening = Posting.objects.get(kind="opening")
        with pytest.raises(NotThatMany):
            take_back(posting=opening, why="never came", by=other, at=BEFORE)
        take_back(posting=opening, why="never came", by=other, at=FRIDAY)
        let_go(held, other)

    def test_a_block(self, held, lot):
        other = UserFactory()
        block(lot=lot, reason="recall", by=other, at=FRIDAY)
        let_go(held, other)

    def test_the_whole_hold_goes_with_a_part_of_it(self, shop, sku, by):
        """Front and rear of two SKUs: whoever takes a front frees the rears as well."""
        rear = SkuFactory()
        front_lot, rear_lot = shop.stock(2, sku=sku), shop.stock(2, sku=rear, rack=1)
        need = Need("any", four_alike(sku, rear))
        told = {"customer": CustomerFactory(), "what": "two and two", "by": by, "at": AT}
        (made,) = hold_sets(need=need, until=FRIDAY, **told)
        move(
            lot=front_lot, source=shop.racks[0], target=shop.racks[2], quantity=1, by=by, at=FRIDAY
        )
        let_go(made, by)
        assert figures(rear_lot, shop.racks[1]) == (2, 0)


class TestTidying:
    def test_in_the_name_of_whoever_made_it(self, held, by):
        assert tidy(at=BEFORE) == 0
        assert tidy(at=FRIDAY) == 1
        let_go(held, by)
        assert tidy(at=FRIDAY) == 0

    def test_so_many_at_a_time(self, shop, sku, by):
        shop.stock(9, sku=sku)
        told = {"customer": CustomerFactory(), "sku": sku, "quantity": 1, "until": FRIDAY}
        for _ in range(3):
            hold_pieces(by=by, at=AT, **told)
        assert tidy(at=FRIDAY, most=2) == 2
        assert Hold.objects.open().count() == 1
        assert tidy(at=FRIDAY, most=2) == 1
        assert held_as_lines_say()


def test_one_question_where_nothing_has_run_out(held, lot, shop, sku, by):
    """A sale asks once whether something has run out."""
    shop.stock(4, sku=sku, rack=1)
    told = {"customer": CustomerFactory(), "sku": sku, "quantity": 1, "by": by, "at": AT}
    assert queries_of(lambda: hold_pieces(until=FRIDAY, **told)) <= 10
