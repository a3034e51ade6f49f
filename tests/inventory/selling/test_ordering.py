"""Orders taken by sets, pieces, holds and quotes; changed, cancelled, closed."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest

from inventory.activities.holding import hold_pieces, hold_sets, parts_of
from inventory.activities.holding import refusals as holding
from inventory.activities.ordering import (
    AskHold,
    AskPieces,
    AskQuote,
    AskSets,
    Deposit,
    Holding,
    add_lines,
    cancel_line,
    cancel_order,
    change_line,
    change_order,
    close_order,
    hold_line,
    refusals,
    standing,
    take_order,
)
from inventory.activities.picking import make_list
from inventory.activities.picking.refusals import OrderIsClosed
from inventory.activities.quoting import give_quote, withdraw_quote
from inventory.activities.quoting import refusals as quoting
from inventory.availability import Need, promises
from inventory.ground.entries.faults import Faulty
from inventory.ledger.moves import NoneAsked, NotWhole, TooMany
from inventory.models.hold import Hold
from inventory.models.posting import LedgerLine, Posting
from inventory.models.pricing import AgeStep, PriceClass
from inventory.models.quote import Quote
from inventory.models.sale import Order, OrderLine
from tests.factories.catalogue import CompanionFactory, SkuFactory
from tests.factories.people import CustomerCarFactory, CustomerFactory, UserFactory
from tests.factories.sending import Shop, figures, four_alike, held_as_lines_say
from tests.factories.when import AT, TODAY

pytestmark = pytest.mark.django_db
FRIDAY = AT + timedelta(days=4)


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
def customer():
    return CustomerFactory()


def sets(sku, count=1, **told):
    return AskSets(need=Need("any", four_alike(sku)), what="four alike", sets=count, **told)


def take(customer, by, *asks, **told):
    return take_order(customer=customer, asks=asks, by=by, **{"at": AT, **told})


def rows_of(order):
    return list(order.lines.order_by("position").values_list("asks", "quantity", "price", "step"))


def everything():
    models = (Hold, Posting, LedgerLine, Order, OrderLine)
    ended = [model.objects.filter(ended_at=None).count() for model in (Hold, Order, Quote)]
    return [model.objects.count() for model in models], ended


def refused(refusal, work, match="."):
    before = everything()
    with pytest.raises(refusal, match=match) as caught:
        work()
    assert everything() == before
    assert held_as_lines_say()
    return caught.value


class TestTaking:
    def test_sets_and_pieces_are_held_for_it(self, by, shop, sku, customer):
        lot = shop.stock(9, sku=sku)
        tube = SkuFactory(tube_kind=True)
        tubes = shop.stock(5, sku=tube, rack=1, date_code="")
        order = take(customer, by, sets(sku, 2), AskPieces(sku=tube, quantity=3), reference="PO 7")
        assert rows_of(order) == [
            ("sets", 2, Decimal("756.00"), 0),
            ("pieces", 3, Decimal("21.50"), 0),
        ]
        assert figures(lot, shop.racks[0]) == (9, 8)
        assert figures(tubes, shop.racks[1]) == (5, 3)
        assert Hold.objects.filter(order_line__order=order, until=None).count() == 3
        assert [(one.held, one.to_hold) for one in standing(order)] == [(2, 0), (3, 0)]
        assert held_as_lines_say()

    def test_companions_are_in_the_price_and_held(self, by, shop, sku, customer):
        tube = SkuFactory(tube_kind=True)
        CompanionFactory(tyre=sku, companion=tube)
        shop.stock(4, sku=sku)
        tubes = shop.stock(4, sku=tube, rack=1, date_code="")
        order = take(customer, by, sets(sku))
        assert rows_of(order) == [("sets", 1, Decimal("842.00"), 0)]
        assert figures(tubes, shop.racks[1]) == (4, 4)

    def test_older_stock_and_a_class_make_the_price(self, by, shop, sku):
        trade = PriceClass.objects.create(code="T", name="trade", percent_off=Decimal(10))
        AgeStep.objects.create(from_months=24, percent_off=Decimal(5))
        AgeStep.objects.create(from_months=36, percent_off=Decimal(20))
        shop.stock(4, sku=sku, date_code="1023")
        shop.stock(4, sku=sku, date_code="1425", rack=1)
        order = take(CustomerFactory(price_class=trade), by, sets(sku, 2))
        assert rows_of(order) == [
            ("sets", 1, Decimal("544.32"), Decimal("136.08")),
            ("sets", 1, Decimal("680.40"), Decimal("0.00")),
        ]
        first = order.lines.get(position=1)
        assert first.price_words == (
            "756.00 by the list; 10 % off, trade; 4 made 36 months ago or more: 20 % off"
        )

    def test_what_there_is(self, by, shop, sku, customer):
        lot = shop.stock(6, sku=sku)
        order = take(customer, by, sets(sku, 3), holding=Holding.SOME)
        assert rows_of(order) == [("sets", 3, Decimal("756.00"), 0)]
        assert sum(one.held for one in standing(order)) == 1
        assert sum(one.to_hold for one in standing(order)) == 2
        assert figures(lot, shop.racks[0]) == (6, 4)

    def test_pieces_as_far_as_they_go(self, by, shop, sku, customer):
        shop.stock(2, sku=sku)
        order = take(customer, by, AskPieces(sku=sku, quantity=5), holding=Holding.SOME)
        assert [(one.held, one.to_hold) for one in standing(order)] == [(2, 3)]

    def test_nothing_held(self, by, shop, sku, customer):
        lot = shop.stock(6, sku=sku)
        asked = [sets(sku), AskPieces(sku=sku, quantity=2)]
        order = take(customer, by, *asked, holding=Holding.NOTHING)
        assert [(one.held, one.to_hold) for one in standing(order)] == [(0, 1), (0, 2)]
        assert figures(lot, shop.racks[0]) == (6, 0)

    def test_not_all_of_it(self, by, shop, sku, customer):
        shop.stock(6, sku=sku)
        refused(holding.NoSet, lambda: take(customer, by, sets(sku, 2)), "1 of 2 complete sets")
        asked = AskPieces(sku=sku, quantity=7)
        refused(holding.NotEnough, lambda: take(customer, by, asked), "6 of .* not 7")

    def test_two_lines_do_not_promise_the_same_tyre(self, by, shop, sku, customer):
        shop.stock(6, sku=sku)
        asked = [AskPieces(sku=sku, quantity=3), sets(sku)]
        refused(holding.NoSet, lambda: take(customer, by, *asked), "No complete set")

    def test_lots_that_were_shown(self, by, shop, sku, customer):
        shop.stock(4, sku=sku)
        shown = parts_of(promises([Need("any", four_alike(sku))], at=AT)[0])
        take(customer, by, sets(sku, shown=shown, pinned=True))
        assert Hold.objects.get().lines.filter(pinned=True).count() == 2
        refused(holding.NotAsShown, lambda: take(customer, by, sets(sku, shown=shown)))

    @pytest.mark.parametrize(
        ("asked", "refusal"),
        [
            (lambda sku: sets(sku, 0), holding.NotThatManySets),
            (lambda sku: sets(sku, -1), holding.NotThatManySets),
            (lambda sku: sets(sku, 2.5), holding.NotThatManySets),
            (lambda sku: sets(sku, 10**9), holding.NotThatManySets),
            (lambda sku: AskPieces(sku=sku, quantity=0), NoneAsked),
            (lambda sku: AskPieces(sku=sku, quantity=-1), NoneAsked),
            (lambda sku: AskPieces(sku=sku, quantity=2.5), NotWhole),
            (lambda sku: AskPieces(sku=sku, quantity=10**9), TooMany),
        ],
    )
    def test_odd_quantities(self, by, shop, sku, customer, asked, refusal):
        shop.stock(8, sku=sku)
        refused(refusal, lambda: take(customer, by, asked(sku)))

    def test_nothing_ordered(self, by, customer):
        refused(refusals.NothingOrdered, lambda: take(customer, by))

    def test_anothers_car(self, by, shop, sku, customer):
        shop.stock(4, sku=sku)
        car = CustomerCarFactory()
        refused(holding.AnothersCar, lambda: take(customer, by, sets(sku), car=car))

    def test_a_deposit_is_told_in_full(self, by, shop, sku, customer):
        shop.stock(4, sku=sku)
        paid = Deposit(Decimal("100.00"), "GBP", "card, slip 881")
        order = take(customer, by, sets(sku), deposit=paid)
        assert (order.deposit, order.deposit_reference) == (Decimal("100.00"), "card, slip 881")
        nameless = Deposit(Decimal("100.00"), "GBP", "")
        refused(Faulty, lambda: take(customer, by, sets(sku), deposit=nameless), "reference")


class TestFromAHold:
    def held(self, customer, sku, by, **told):
        need = Need("any", four_alike(sku))
        told = {"until": FRIDAY, "what": "four alike", **told}
        return hold_sets(customer=customer, need=need, by=by, at=AT, **told)

    def test_it_is_the_orders_and_does_not_lapse(self, by, shop, sku, customer):
        lot = shop.stock(9, sku=sku)
        held = self.held(customer, sku, by, sets=2, said={"use": "track"})
        order = take(customer, by, *(AskHold(hold=one) for one in held))
        assert rows_of(order) == [("sets", 2, Decimal("756.00"), 0)]
        assert figures(lot, shop.racks[0]) == (9, 8)
        assert not Hold.objects.lapsed(FRIDAY + timedelta(days=9)).exists()
        assert order.lines.get().answer["use"] == "track"

    def test_pieces(self, by, shop, sku, customer):
        shop.stock(4, sku=sku)
        held = hold_pieces(customer=customer, sku=sku, quantity=3, until=FRIDAY, by=by, at=AT)
        order = take(customer, by, AskHold(hold=held))
        assert rows_of(order) == [("pieces", 3, Decimal("189.00"), 0)]

    def test_one_that_ran_out(self, by, shop, sku, customer):
        shop.stock(4, sku=sku)
        (held,) = self.held(customer, sku, by)
        work = AskHold(hold=held)
        refused(holding.HoldRanOut, lambda: take(customer, by, work, at=FRIDAY), "ran out")

    def test_anothers(self, by, shop, sku, customer):
        shop.stock(4, sku=sku)
        (held,) = self.held(CustomerFactory(), sku, by)
        refused(refusals.AnothersHold, lambda: take(customer, by, AskHold(hold=held)))

    def test_twice(self, by, shop, sku, customer):
        shop.stock(4, sku=sku)
        (held,) = self.held(customer, sku, by)
        work = AskHold(hold=held)
        refused(refusals.NamedTwice, lambda: take(customer, by, work, work))
        take(customer, by, work)
        refused(holding.IsForAnOrder, lambda: take(customer, by, work))


class TestFromAQuote:
    def quoted(self, customer, sku, by, **told):
        need = Need("any", four_alike(sku))
        told = {"good_until": TODAY + timedelta(days=7), "what": "four alike", **told}
        return give_quote(customer=customer, need=need, by=by, at=AT, **told)

    def test_at_the_price_that_was_quoted(self, by, shop, sku, customer):
        lot = shop.stock(9, sku=sku)
        quote = self.quoted(customer, sku, by, sets=2, said={"use": "track"})
        sku.price = Decimal("500.00")
        sku.save()
        order = take(customer, by, AskQuote(quote=quote))
        assert rows_of(order) == [("sets", 2, Decimal("756.00"), 0)]
        assert figures(lot, shop.racks[0]) == (9, 8)
        quote.refresh_from_db()
        assert (quote.state, quote.ended_why) == ("taken", f"taken up by {order.number}")
        assert Hold.objects.first().answer["use"] == "track"
        refused(quoting.QuoteHasEnded, lambda: take(customer, by, AskQuote(quote=quote)))

    def test_not_after_its_day(self, by, shop, sku, customer):
        shop.stock(4, sku=sku)
        quote = self.quoted(customer, sku, by)
        late = AT + timedelta(days=8)
        refused(quoting.QuoteRanOut, lambda: take(customer, by, AskQuote(quote=quote), at=late))

    def test_anothers_and_more_than_quoted(self, by, shop, sku, customer):
        shop.stock(8, sku=sku)
        quote = self.quoted(customer, sku, by)
        other = CustomerFactory()
        refused(refusals.AnothersQuote, lambda: take(other, by, AskQuote(quote=quote)))
        more = AskQuote(quote=quote, sets=2)
        refused(refusals.MoreThanQuoted, lambda: take(customer, by, more), "for 1, not for 2")

    def test_one_that_was_withdrawn(self, by, shop, sku, customer):
        shop.stock(8, sku=sku)
        quote = self.quoted(customer, sku, by)
        withdraw_quote(quote=quote, why="the list was wrong", by=by, at=AT)
        work = AskQuote(quote=quote)
        refused(quoting.QuoteHasEnded, lambda: take(customer, by, work), "the list was wrong")


class TestChanging:
    def test_the_head(self, by, shop, sku, customer):
        shop.stock(4, sku=sku)
        order = take(customer, by, sets(sku))
        change_order(order=order, note="ring first", wanted_on=TODAY, by=by, at=AT)
        order.refresh_from_db()
        assert (order.note, order.wanted_on) == ("ring first", TODAY)

    def test_lines_are_added(self, by, shop, sku, customer):
        shop.stock(8, sku=sku)
        order = take(customer, by, sets(sku))
        add_lines(order=order, asks=[AskPieces(sku=sku, quantity=2)], by=by, at=AT)
        assert [row[:2] for row in rows_of(order)] == [("sets", 1), ("pieces", 2)]

    def test_more_and_fewer_sets(self, by, shop, sku, customer):
        lot = shop.stock(13, sku=sku)
        line = take(customer, by, sets(sku)).lines.get()
        change_line(line=line, quantity=3, by=by, at=AT)
        assert figures(lot, shop.racks[0]) == (13, 12)
        change_line(line=line, quantity=2, by=by, at=AT)
        assert figures(lot, shop.racks[0]) == (13, 8)
        assert held_as_lines_say()
        refused(holding.NoSet, lambda: change_line(line=line, quantity=9, by=by, at=AT), "1 of 7")

    def test_more_and_fewer_pieces(self, by, shop, sku, customer):
        lot = shop.stock(9, sku=sku)
        line = take(customer, by, AskPieces(sku=sku, quantity=4)).lines.get()
        change_line(line=line, quantity=6, by=by, at=AT)
        assert figures(lot, shop.racks[0]) == (9, 6)
        change_line(line=line, quantity=1, by=by, at=AT)
        assert figures(lot, shop.racks[0]) == (9, 1)
        assert held_as_lines_say()
        refused(
            holding.NotEnough, lambda: change_line(line=line, quantity=99, by=by, at=AT), "8 of"
        )

    def test_fewer_than_were_missing_anyway(self, by, shop, sku, customer):
        lot = shop.stock(2, sku=sku)
        asked = AskPieces(sku=sku, quantity=5)
        line = take(customer, by, asked, holding=Holding.SOME).lines.get()
        change_line(line=line, quantity=4, by=by, at=AT)
        assert figures(lot, shop.racks[0]) == (2, 2)
        work = lambda: change_line(line=line, quantity=5, by=by, at=AT)  # noqa: E731
        refused(holding.NotEnough, work, "0 of .* not 1")
        change_line(line=line, quantity=5, holding=Holding.SOME, by=by, at=AT)
        assert (line.order.lines.get().quantity, figures(lot, shop.racks[0])) == (5, (2, 2))

    @pytest.mark.parametrize("odd", [0, -1, 2.5, 10**9])
    def test_odd_quantities(self, by, shop, sku, customer, odd):
        shop.stock(4, sku=sku)
        line = take(customer, by, sets(sku)).lines.get()
        refused(holding.NotThatManySets, lambda: change_line(line=line, quantity=odd, by=by, at=AT))

    def test_below_what_has_left(self, by, shop, sku, customer):
        shop.stock(8, sku=sku)
        line = take(customer, by, sets(sku, 2)).lines.get()
        OrderLine.objects.update(sent=2)
        refused(refusals.LessThanSent, lambda: change_line(line=line, quantity=1, by=by, at=AT))

    def test_what_is_being_picked_stays(self, by, shop, sku, customer):
        lot = shop.stock(8, sku=sku)
        order = take(customer, by, sets(sku))
        line = order.lines.get()
        make_list(order=order, to_place=shop.gather, by=by, at=AT)
        change_line(line=line, quantity=2, by=by, at=AT)
        change_line(line=line, quantity=1, by=by, at=AT)
        assert figures(lot, shop.racks[0]) == (8, 4)
        work = lambda: cancel_line(line=line, why="no", by=by, at=AT)  # noqa: E731
        refused(holding.IsBeingPicked, work, "PL-")
        refused(holding.IsBeingPicked, lambda: cancel_order(order=order, why="no", by=by, at=AT))

    def test_what_was_missing_is_held_later(self, by, shop, sku, customer):
        shop.stock(4, sku=sku)
        order = take(customer, by, sets(sku, 3), holding=Holding.SOME)
        line = order.lines.get()
        refused(holding.NoSet, lambda: hold_line(line=line, by=by, at=AT))
        shop.stock(7, sku=sku, rack=1)
        assert len(hold_line(line=line, by=by, at=AT)) == 1
        shop.stock(7, sku=sku, rack=2)
        assert len(hold_line(line=line, by=by, at=AT)) == 1
        refused(refusals.AllIsHeld, lambda: hold_line(line=line, by=by, at=AT))


class TestGivingUp:
    def test_a_line(self, by, shop, sku, customer):
        lot = shop.stock(8, sku=sku)
        order = take(customer, by, sets(sku), AskPieces(sku=sku, quantity=2))
        first = order.lines.get(position=1)
        cancel_line(line=first, why="too dear", by=by, at=AT)
        assert figures(lot, shop.racks[0]) == (8, 2)
        order.refresh_from_db()
        assert order.state == "open"
        work = lambda: change_line(line=first, quantity=2, by=by, at=AT)  # noqa: E731
        refused(refusals.LineIsCancelled, work)
        cancel_line(line=order.lines.get(position=2), why="too dear", by=by, at=AT)
        order.refresh_from_db()
        assert (order.state, order.ended_why) == ("cancelled", "too dear")

    def test_all_of_it(self, by, shop, sku, customer):
        lot = shop.stock(8, sku=sku)
        order = cancel_order(order=take(customer, by, sets(sku, 2)), why="sold", by=by, at=AT)
        assert (order.state, order.ended_by) == ("cancelled", by)
        assert figures(lot, shop.racks[0]) == (8, 0)
        assert held_as_lines_say()
        refused(OrderIsClosed, lambda: cancel_order(order=order, why="again", by=by, at=AT))
        work = lambda: add_lines(order=order, asks=[sets(sku)], by=by, at=AT)  # noqa: E731
        refused(OrderIsClosed, work, "was closed")
        refused(OrderIsClosed, lambda: hold_line(line=order.lines.get(), by=by, at=AT))
        refused(OrderIsClosed, lambda: change_order(order=order, note="x", by=by, at=AT))

    def test_the_rest_of_it(self, by, shop, sku, customer):
        lot = shop.stock(8, sku=sku)
        order = take(customer, by, sets(sku, 2))
        refused(refusals.NothingHasLeft, lambda: close_order(order=order, why="x", by=by, at=AT))
        OrderLine.objects.update(sent=1)
        refused(refusals.PartHasLeft, lambda: cancel_order(order=order, why="x", by=by, at=AT))
        close_order(order=order, why="one will do", by=by, at=AT)
        order.refresh_from_db()
        assert order.state == "sent"
        assert figures(lot, shop.racks[0]) == (8, 0)

    @pytest.mark.parametrize("why", ["", "  "])
    def test_for_no_reason(self, by, shop, sku, customer, why):
        shop.stock(4, sku=sku)
        order = take(customer, by, sets(sku))
        refused(refusals.SayWhy, lambda: cancel_order(order=order, why=why, by=by, at=AT))
        line = order.lines.get()
        refused(refusals.SayWhy, lambda: cancel_line(line=line, why=why, by=by, at=AT))
