"""The queue for what is to come: who may count on what, and who is served first."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from inventory.activities import receiving
from inventory.activities.holding import hold_sets
from inventory.activities.holding.refusals import AnothersCar
from inventory.activities.ordering import (
    AskSets,
    Holding,
    cancel_order,
    hold_line,
    take_order,
)
from inventory.activities.preordering import plan, queue, refusals, serve, withdraw
from inventory.availability import Need
from inventory.ground.entries.faults import Faulty
from inventory.models.expected import ExpectedDelivery
from inventory.models.hold import Hold
from inventory.models.preorder import PreOrder
from tests.factories.buying import ExpectedDeliveryFactory, delivery_of, goods_in_at, sent_order
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerCarFactory, CustomerFactory, UserFactory
from tests.factories.sending import Shop, four_alike, held_as_lines_say
from tests.factories.when import AT

pytestmark = pytest.mark.django_db
MARCH = date(2027, 3, 1)


@pytest.fixture
def by():
    return UserFactory()


@pytest.fixture
def sku():
    return SkuFactory()


def wait(need, by, minutes=0, **told):
    told = {"customer": told.pop("customer", None) or CustomerFactory(), **told}
    asked = {"what": "four alike", "promised_on": MARCH, "if_short": "wait", **told}
    return queue(need=need, by=by, at=AT + timedelta(minutes=minutes), **asked)


def four(*skus):
    return Need(None, four_alike(*skus))


def refused(refusal, work, match="."):
    before = PreOrder.objects.count()
    with pytest.raises(refusal, match=match) as caught:
        work()
    assert PreOrder.objects.count() == before
    return caught.value


class TestPlanning:
    def test_the_soonest_that_will_do(self, sku):
        ExpectedDeliveryFactory(sku=sku, quantity=3, expected_on=date(2027, 1, 10))
        soon = ExpectedDeliveryFactory(sku=sku, quantity=8, expected_on=date(2027, 2, 10))
        ExpectedDeliveryFactory(sku=sku, quantity=8)
        told = plan(four(sku), at=AT)
        # Two in front by the first, which has three; the rears by the next.
        assert sum(told.counts_on.values()) == 4
        assert told.day == date(2027, 2, 10)
        assert soon.pk in told.counts_on

    def test_front_and_rear_by_two_deliveries(self, sku):
        rear = SkuFactory()
        first = ExpectedDeliveryFactory(sku=sku, expected_on=date(2027, 1, 10))
        second = ExpectedDeliveryFactory(sku=rear, expected_on=date(2027, 2, 10))
        told = plan(four(sku, rear), at=AT)
        assert dict(told.counts_on) == {first.pk: 2, second.pk: 2}
        assert told.day == date(2027, 2, 10)

    def test_nothing_is_expected(self, sku):
        with pytest.raises(refusals.NothingToCountOn, match="2 for the front"):
            plan(four(sku), at=AT)

    def test_what_others_wait_for_is_not_counted_on(self, sku, by):
        ExpectedDeliveryFactory(sku=sku, quantity=6)
        wait(four(sku), by)
        refused(refusals.NothingToCountOn, lambda: wait(four(sku), by))


class TestQueueing:
    def test_a_place_in_the_queue(self, sku, by):
        coming = ExpectedDeliveryFactory(sku=sku)
        one = wait(four(sku), by, note="ring in the evening", said={"use": "track"})
        assert one.number == f"WA-{one.pk:05}"
        assert (one.state, one.promised_on, one.queued_by) == ("waiting", MARCH, by)
        assert [(line.expected, line.quantity) for line in one.lines.all()] == [(coming, 4)]
        assert one.answer["use"] == "track"

    def test_deliveries_that_are_named(self, sku, by):
        ExpectedDeliveryFactory(sku=sku, expected_on=date(2027, 1, 1))
        later = ExpectedDeliveryFactory(sku=sku)
        one = wait(four(sku), by, counts_on={later.pk: 4})
        assert one.lines.get().expected == later

    @pytest.mark.parametrize("quantity", [2, 5])
    def test_that_make_no_set(self, sku, by, quantity):
        coming = ExpectedDeliveryFactory(sku=sku)
        work = lambda: wait(four(sku), by, counts_on={coming.pk: quantity})  # noqa: E731
        refused(refusals.NotTheSet, work, "A set has 4 tyres")

    def test_of_another_sku(self, sku, by):
        other = ExpectedDeliveryFactory()
        refused(refusals.NotTheSet, lambda: wait(four(sku), by, counts_on={other.pk: 4}))

    def test_more_than_comes(self, sku, by):
        coming = ExpectedDeliveryFactory(sku=sku, quantity=6)
        wait(four(sku), by)
        work = lambda: wait(four(sku), by, counts_on={coming.pk: 4})  # noqa: E731
        refused(refusals.WaitedForAlready, work, "2 of them are not waited for")

    def test_what_has_arrived(self, sku, by):
        coming = ExpectedDeliveryFactory(sku=sku)
        ExpectedDelivery.objects.update(state="arrived", ended_at=AT, ended_by=by)
        work = lambda: wait(four(sku), by, counts_on={coming.pk: 4})  # noqa: E731
        refused(refusals.NotToCome, work, "arrived")

    def test_sooner_than_expected(self, sku, by):
        ExpectedDeliveryFactory(sku=sku)
        work = lambda: wait(four(sku), by, promised_on=date(2027, 2, 28))  # noqa: E731
        refused(refusals.SoonerThanExpected, work, r"01\.03\.2027")

    def test_anothers_car_and_no_such_rule(self, sku, by):
        ExpectedDeliveryFactory(sku=sku)
        refused(AnothersCar, lambda: wait(four(sku), by, car=CustomerCarFactory()))
        refused(Faulty, lambda: wait(four(sku), by, if_short="pray"))

    def test_for_an_order_line_as_often_as_it_asks(self, sku, by):
        ExpectedDeliveryFactory(sku=sku, quantity=20)
        customer = CustomerFactory()
        asked = AskSets(need=four(sku), what="four alike", sets=2)
        told = {"customer": customer, "by": by, "at": AT}
        order = take_order(asks=[asked], holding=Holding.NOTHING, **told)
        line = order.lines.get()
        for _ in range(2):
            wait(four(sku), by, customer=customer, order_line=line)
        refused(refusals.HeldAlready, lambda: wait(four(sku), by, order_line=line))
        cancel_order(order=order, why="sold the car", by=by, at=AT)
        assert set(PreOrder.objects.values_list("state", flat=True)) == {"withdrawn"}

    def test_given_up(self, sku, by):
        ExpectedDeliveryFactory(sku=sku)
        one = wait(four(sku), by)
        refused(refusals.SayWhyWithdrawn, lambda: withdraw(pre_order=one, why=" ", by=by, at=AT))
        withdraw(pre_order=one, why="sold the car", by=by, at=AT)
        work = lambda: withdraw(pre_order=one, why="again", by=by, at=AT)  # noqa: E731
        refused(refusals.NotWaiting, work, "withdrawn")


class TestOnReceipt:
    @pytest.fixture
    def order(self, by, sku):
        return sent_order(12, skus=[sku], by=by)

    def receive(self, order, quantity, by, **reading):
        delivery = delivery_of(order, by=by, place=goods_in_at())
        sku = order.lines.get().sku
        reading = {"date_code": "3026", **reading}
        receiving.enter_line(delivery=delivery, sku=sku, quantity=quantity, by=by, at=AT, **reading)
        return receiving.finish(delivery=delivery, by=by, at=AT + timedelta(days=1))

    def test_in_the_order_of_the_queue(self, order, sku, by):
        second = wait(four(sku), by, minutes=2)
        first = wait(four(sku), by, minutes=1)
        third = wait(four(sku), by, minutes=3)
        turn = self.receive(order, 10, by).turn
        assert [hold.pre_order for hold in turn.served] == [first, second]
        assert turn.waiting == (third,)
        for one in (first, second, third):
            one.refresh_from_db()
        assert [one.state for one in (first, second, third)] == ["served", "served", "waiting"]
        assert first.hold.customer == first.customer
        assert first.hold.until == AT + timedelta(days=15)
        assert first.hold.why.startswith(first.number)
        assert held_as_lines_say()
        last = self.receive(order, 2, by).turn
        assert [hold.pre_order for hold in last.served] == [third]

    def test_what_nobody_waits_for_is_free(self, order, sku, by):
        wait(four(sku), by)
        self.receive(order, 12, by)
        told = {"customer": CustomerFactory(), "what": "four", "until": AT + timedelta(days=3)}
        assert len(hold_sets(need=four(sku), sets=2, by=by, at=AT + timedelta(days=1), **told)) == 2

    def test_it_becomes_the_orders(self, order, sku, by):
        customer = CustomerFactory()
        asked = AskSets(need=four(sku), what="four alike")
        told = {"customer": customer, "by": by, "at": AT}
        sale = take_order(asks=[asked], holding=Holding.NOTHING, **told)
        wait(four(sku), by, customer=customer, order_line=sale.lines.get())
        self.receive(order, 12, by)
        hold = Hold.objects.get()
        assert (hold.order_line, hold.until) == (sale.lines.get(), None)

    def test_an_order_line_that_was_filled_meanwhile(self, order, sku, by):
        customer = CustomerFactory()
        asked = AskSets(need=four(sku), what="four alike")
        told = {"customer": customer, "by": by, "at": AT}
        line = take_order(asks=[asked], holding=Holding.NOTHING, **told).lines.get()
        one = wait(four(sku), by, customer=customer, order_line=line)
        Shop().stock(4, sku=sku)
        hold_line(line=line, by=by, at=AT)
        assert self.receive(order, 12, by).turn.served == ()
        one.refresh_from_db()
        assert (one.state, one.ended_why) == ("withdrawn", "its order line is held in full")

    def test_a_set_whose_other_half_is_still_to_come_waits(self, order, sku, by):
        rear = SkuFactory()
        ExpectedDeliveryFactory(sku=rear)
        one = wait(four(sku, rear), by)
        assert self.receive(order, 12, by).turn.waiting == (one,)

    def test_a_short_batch_for_one_who_gives_up(self, order, sku, by):
        one = wait(four(sku), by, if_short="give_up")
        short = self.short(order, by)
        assert short.missed == (one,)
        one.refresh_from_db()
        assert (one.state, one.ended_why) == ("missed", "the batch did not go round")

    def test_a_short_batch_for_one_who_waits(self, order, sku, by):
        one = wait(four(sku), by)
        following = ExpectedDeliveryFactory(sku=sku)
        assert self.short(order, by).waiting == (one,)
        assert one.lines.get().expected == following

    def test_and_there_is_no_other_batch(self, order, sku, by):
        one = wait(four(sku), by)
        assert self.short(order, by).waiting == (one,)
        one.refresh_from_db()
        assert one.state == "waiting"

    def short(self, order, by):
        """Nothing more comes of the order's delivery, and one tyre of it came."""
        line = order.lines.get()
        Shop().stock(1, sku=line.sku)
        ended = {"state": "arrived", "ended_at": AT, "ended_by": by}
        ExpectedDelivery.objects.filter(pk=line.expected_id).update(**ended)
        return serve(expected=[line.expected_id], by=by, at=AT)
