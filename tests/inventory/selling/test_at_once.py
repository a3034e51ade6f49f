"""Eight people at once over the last sets, each on a connection of their own.

`SELLING_OPERATIONS=10000` asks for as many operations; a few hundred are done otherwise.
"""

from __future__ import annotations

import os
import random
from collections import Counter
from datetime import timedelta
from functools import partial

import pytest
from django.db import OperationalError
from rest_framework.response import Response
from rest_framework.test import APIRequestFactory, force_authenticate
from rest_framework.views import APIView

from inventory.activities.holding import extend, hold_pieces, hold_sets, release
from inventory.activities.moving import move
from inventory.activities.ordering import (
    AskHold,
    AskPieces,
    AskSets,
    Holding,
    cancel_order,
    change_line,
    take_order,
)
from inventory.activities.preordering import Turn, queue, serve
from inventory.availability import Need
from inventory.ground.idempotency import once
from inventory.ground.refusal import Busy, Refusal
from inventory.ground.retry import retried
from inventory.ledger.lapse import tidy
from inventory.ledger.reconcile import differences
from inventory.models.balance import Balance
from inventory.models.customer import Customer
from inventory.models.expected import ExpectedDelivery
from inventory.models.hold import Hold, HoldState
from inventory.models.sale import Order
from inventory.models.sku import Sku
from stockist.patrol.selling import CHECKS
from tests.factories.buying import ExpectedDeliveryFactory
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.sending import Shop, figures, four_alike
from tests.factories.when import AT
from tests.support import concurrency
from tests.support.concurrency import at_once

pytestmark = pytest.mark.django_db(transaction=True)
EIGHT = 8
OPERATIONS = int(os.environ.get("SELLING_OPERATIONS", "320"))
FRIDAY = AT + timedelta(days=4)


@pytest.fixture
def by():
    return UserFactory()


@pytest.fixture
def customer():
    return CustomerFactory()


@pytest.fixture
def shop():
    return Shop()


def in_order():
    assert differences() == []
    assert [check.look().faults for check in CHECKS] == [()] * len(CHECKS)


def split(answers):
    """What was done and what was refused; anything else fails the test."""
    refused = [one for one in answers if isinstance(one, Exception)]
    assert all(isinstance(one, Refusal) and not isinstance(one, Busy) for one in refused), refused
    return [one for one in answers if not isinstance(one, Exception)], refused


def test_eight_want_the_last_five_sets(by, customer, shop):
    sku = SkuFactory()
    lot = shop.stock(23, sku=sku)
    need = Need(None, four_alike(sku))
    told = {"customer": customer, "what": "four", "until": FRIDAY, "by": by, "at": AT}
    work = partial(retried, partial(hold_sets, need=need, **told))
    done, refused = split(at_once(*[work] * EIGHT))
    assert (len(done), len(refused)) == (5, 3)
    assert figures(lot, shop.racks[0]) == (23, 20)
    in_order()


def test_eight_order_one_hold(by, customer, shop):
    sku = SkuFactory()
    shop.stock(4, sku=sku)
    told = {"customer": customer, "by": by, "at": AT}
    hold = hold_pieces(sku=sku, quantity=4, until=FRIDAY, **told)
    work = partial(retried, partial(take_order, asks=[AskHold(hold=hold)], **told))
    done, refused = split(at_once(*[work] * EIGHT))
    assert (len(done), len(refused)) == (1, 7)
    assert Order.objects.count() == 1
    in_order()


def test_a_hold_runs_out_while_eight_want_its_tyres_and_its_maker_extends_it(by, customer, shop):
    """Whoever comes first: it is extended and nobody has them, or it ran out and one has."""
    sku = SkuFactory()
    shop.stock(4, sku=sku)
    told = {"customer": customer, "by": by}
    hold = hold_pieces(sku=sku, quantity=4, until=FRIDAY, at=AT, **told)
    before = FRIDAY - timedelta(seconds=1)
    longer = FRIDAY + timedelta(days=1)
    want = {"sku": sku, "quantity": 4, "until": longer, "at": FRIDAY, **told}
    calls = [partial(extend, hold=hold, until=longer, why="on holiday", by=by, at=before)]
    calls += [partial(hold_pieces, **want)] * (EIGHT - 1)
    done, _ = split(at_once(*[partial(retried, call) for call in calls]))
    assert len(done) == 1
    assert sum(Balance.objects.values_list("held", flat=True)) == 4
    in_order()


def test_eight_extend_one_hold_and_it_is_let_go_meanwhile(by, customer, shop):
    """Each extension begins where one ended, however they come; what ran out is not extended."""
    sku = SkuFactory()
    shop.stock(4, sku=sku)
    hold = hold_pieces(sku=sku, quantity=4, until=FRIDAY, customer=customer, by=by, at=AT)
    calls = [
        partial(
            extend, hold=hold, until=FRIDAY + timedelta(days=days), why=f"{days} days", by=by, at=AT
        )
        for days in (1, 1, 1, 2, 3, 4, 5)
    ]
    calls.append(partial(tidy, at=FRIDAY))
    done, _ = split(at_once(*[partial(retried, call) for call in calls]))
    longer = [one for one in done if isinstance(one, Hold)]
    hold.refresh_from_db()
    assert hold.extensions.count() == len(longer)
    if hold.state == HoldState.OPEN:
        assert hold.until == FRIDAY + timedelta(days=5)
    else:  # it was let go in time, and nobody extended it after that
        assert longer == []
        assert hold.until == FRIDAY
    in_order()


def test_the_fronts_come_while_eight_want_them(by, customer, shop):
    """Served twice at once while others hold what has come: one keeps them, whoever was first."""
    front, rear = skus = [SkuFactory(), SkuFactory()]
    coming = [ExpectedDeliveryFactory(sku=sku) for sku in skus]
    need = Need(None, four_alike(*skus))
    told = {"customer": customer, "by": by, "at": AT}
    day = coming[0].expected_on
    one = queue(need=need, what="four", promised_on=day, if_short="wait", **told)
    shop.stock(2, sku=front)
    ended = {"state": "arrived", "ended_at": AT, "ended_by": by}
    ExpectedDelivery.objects.filter(sku=front).update(**ended)
    serves = partial(serve, expected=[coming[0].pk], by=by, at=AT)
    holds = partial(hold_pieces, sku=front, quantity=2, until=FRIDAY, **told)
    done, _ = split(at_once(*[partial(retried, call) for call in [serves] * 4 + [holds] * 4]))
    kept = [hold for turn in done if isinstance(turn, Turn) for hold in turn.kept]
    held = [hold for hold in done if isinstance(hold, Hold)]
    assert len(kept) + len(held) == 1
    assert one.kept.count() == len(kept)
    assert sum(Balance.objects.values_list("held", flat=True)) == 2
    assert not Balance.objects.filter(lot__sku=rear).exists()
    in_order()


class Held(APIView):
    """Holding over the wire: the key makes it safe to send twice."""

    permission_classes = ()

    @once
    def post(self, request):
        made = hold_sets(
            customer=Customer.objects.get(pk=request.data["customer"]),
            need=Need(None, four_alike(Sku.objects.get())),
            what="four",
            until=FRIDAY,
            by=request.user,
            at=AT,
        )
        return Response({"holds": [one.number for one in made]}, status=201)


def send(key, customer, by):
    request = APIRequestFactory().post("/", {"customer": customer.pk}, headers={
        "Idempotency-Key": key
    })  # fmt: skip
    force_authenticate(request, by)
    answer = Held.as_view()(request)
    return answer.status_code, answer.data["holds"]


def test_the_same_request_sent_twice_at_once_books_once(by, customer, shop):
    lot = shop.stock(40, sku=SkuFactory())
    for number in range(5):
        one, other = at_once(*[partial(send, f"k{number}", customer, by)] * 2)
        assert one == other == (201, one[1])
    assert Hold.objects.count() == 5
    assert figures(lot, shop.racks[0]) == (40, 20)
    in_order()


class Person:
    """One of eight: does this and that at random, and remembers what they were given."""

    def __init__(self, seed, *, by, customer, shop, skus, lots):
        self.dice, self.by, self.customer = random.Random(seed), by, customer
        self.shop, self.skus, self.lots = shop, skus, lots
        self.now, self.told = AT, Counter()
        self.holds, self.orders, self.ended = [], [], set()
        self.waits = []  # what stood in the way of whom, for whoever has to find out

    def work(self, times):
        for _ in range(times):
            self.now += timedelta(minutes=self.dice.choice([0, 1, 20]))
            name = self.dice.choice(WORK)
            try:
                retried(partial(self.try_once, name))
                self.told["done"] += 1
            except Busy:
                raise
            except Refusal:
                self.told["refused"] += 1
        return self

    def try_once(self, name):
        try:
            getattr(self, name)()
        except OperationalError as error:
            cause = error.__cause__
            self.told[getattr(cause, "sqlstate", "?")] += 1
            self.waits.append((name, cause.diag.message_detail, cause.diag.context))
            raise

    def common(self):
        return {"by": self.by, "at": self.now}

    def need(self):
        return Need(None, four_alike(self.dice.choice(self.skus), self.dice.choice(self.skus)))

    def hold_a_set(self):
        until = self.now + timedelta(minutes=self.dice.choice([5, 30, 600]))
        told = {"customer": self.customer, "what": "four", "until": until, **self.common()}
        self.holds += hold_sets(need=self.need(), sets=self.dice.choice([1, 1, 2]), **told)

    def hold_some(self):
        until = self.now + timedelta(minutes=self.dice.choice([5, 30, 600]))
        told = {"customer": self.customer, "quantity": self.dice.randint(1, 4), **self.common()}
        self.holds.append(hold_pieces(sku=self.dice.choice(self.skus), until=until, **told))

    def let_go(self):
        if self.holds:
            hold = self.holds.pop(self.dice.randrange(len(self.holds)))
            self.ended.add(hold.pk)
            release(hold=hold, why="not wanted", **self.common())

    def longer(self):
        if self.holds:
            until = self.now + timedelta(minutes=700)
            hold = self.dice.choice(self.holds)
            extend(hold=hold, until=until, why="not paid yet", **self.common())

    def order(self):
        asks = [
            AskSets(need=self.need(), what="four"),
            AskPieces(sku=self.dice.choice(self.skus), quantity=self.dice.randint(1, 3)),
        ]
        self.dice.shuffle(asks)
        told = {"customer": self.customer, "holding": self.dice.choice(list(Holding))}
        self.orders.append(
            take_order(asks=asks[: self.dice.randint(1, 2)], **told, **self.common())
        )

    def order_held(self):
        if self.holds:
            asked = AskHold(hold=self.dice.choice(self.holds))
            told = {"customer": self.customer, **self.common()}
            self.orders.append(take_order(asks=[asked], **told))

    def give_up(self):
        if self.orders:
            order = self.orders.pop(self.dice.randrange(len(self.orders)))
            cancel_order(order=order, why="sold", **self.common())

    def change(self):
        if self.orders:
            line = self.dice.choice(self.orders).lines.order_by("position").first()
            change_line(line=line, quantity=self.dice.randint(1, 3), **self.common())

    def move(self):
        source, target = self.dice.sample(self.shop.racks, 2)
        lot, quantity = self.dice.choice(self.lots), self.dice.choice([1, 2, 30])
        told = {"lot": lot, "source": source, "target": target, **self.common()}
        balance = Balance.objects.filter(lot=lot, place=source).first()
        move(quantity=balance.on_hand if balance and quantity == 30 else quantity, **told)

    def tidy(self):
        tidy(at=self.now)


WORK = [
    *("hold_a_set", "hold_a_set", "hold_some", "let_go", "let_go", "longer", "order", "order"),
    *("order_held", "give_up", "give_up", "change", "move", "move", "tidy"),
]


@pytest.mark.timeout(300 + OPERATIONS // 5)
def test_eight_do_this_and_that(by, shop, monkeypatch):
    """No tyre is promised twice, nobody waits for ever, and no hold is lost."""
    monkeypatch.setattr(concurrency, "PATIENCE", 60 + OPERATIONS // 5)
    skus = SkuFactory.create_batch(3)
    lots = [
        shop.stock(12, sku=sku, date_code=code, rack=rack)
        for sku in skus
        for rack, code in enumerate(["1425", "1625"])
    ]
    told = {"by": by, "shop": shop, "skus": skus, "lots": lots}
    people = [Person(seed, customer=CustomerFactory(), **told) for seed in range(EIGHT)]
    answers = at_once(*[partial(one.work, OPERATIONS // EIGHT) for one in people])
    assert all(isinstance(one, Person) for one in answers), answers
    total = sum((one.told for one in people), Counter())
    assert total["done"] + total["refused"] == OPERATIONS // EIGHT * EIGHT
    assert total["done"] > OPERATIONS // 4, total
    assert "40P01" not in total, [wait for one in people for wait in one.waits]
    assert sum(Balance.objects.values_list("on_hand", flat=True)) == 12 * len(lots)
    made = {hold.pk for one in people for hold in one.holds} | {
        key for one in people for key in one.ended
    }
    assert made <= set(Hold.objects.values_list("pk", flat=True))
    lost = Hold.objects.filter(pk__in=made, state__in=["broken", "sent"])
    assert not lost.exists()
    in_order()
