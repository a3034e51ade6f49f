"""A process killed with -9 in the middle of a write leaves nothing of it; sent again it is done.

A child process does the write over a connection of its own and kills itself just before its nth
question to the database, and just before it commits. Every third question is tried by turns, unless
`SELLING_KILLS=all` asks for every one of them.
"""

from __future__ import annotations

import os
import signal
from contextlib import contextmanager
from datetime import timedelta

import pytest
from django.db import connection
from rest_framework.response import Response
from rest_framework.test import APIRequestFactory, force_authenticate
from rest_framework.views import APIView

from inventory.activities.holding import extend, hold_pieces, hold_sets, release
from inventory.activities.ordering import (
    AskHold,
    AskPieces,
    AskSets,
    cancel_order,
    change_line,
    take_order,
)
from inventory.activities.preordering import queue, serve
from inventory.availability import Need
from inventory.ground.idempotency import once
from inventory.ground.models import IdempotencyKey
from inventory.ledger.reconcile import differences
from inventory.models.balance import Balance
from inventory.models.expected import ExpectedDelivery
from inventory.models.hold import Hold, HoldExtension, HoldLine
from inventory.models.posting import LedgerLine, Posting
from inventory.models.preorder import PreOrder
from inventory.models.sale import Order, OrderLine
from stockist.patrol.selling import CHECKS
from tests.factories.buying import ExpectedDeliveryFactory
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.sending import Shop, four_alike
from tests.factories.when import AT

pytestmark = pytest.mark.django_db(transaction=True)
FRIDAY = AT + timedelta(days=4)
KEPT = (
    Hold,
    HoldExtension,
    HoldLine,
    Order,
    OrderLine,
    PreOrder,
    Posting,
    LedgerLine,
    Balance,
    IdempotencyKey,
)
MOST = 120
STRIDE = 1 if os.environ.get("SELLING_KILLS") == "all" else 3
COMMIT = 0


class House:
    """A shop with stock, one who works there, and what stands when a write begins."""

    def __init__(self):
        self.by, self.customer, self.sku = UserFactory(), CustomerFactory(), SkuFactory()
        self.shop = Shop()
        self.lot = self.shop.stock(12, sku=self.sku)
        self.need = Need(None, four_alike(self.sku))
        self.told = {"by": self.by, "at": AT}

    def asks(self):
        return [
            AskSets(need=self.need, what="four"),
            AskPieces(sku=self.sku, quantity=2),
        ]

    def held(self):
        told = {"customer": self.customer, "until": FRIDAY, **self.told}
        return hold_pieces(sku=self.sku, quantity=4, **told)

    def ordered(self):
        return take_order(customer=self.customer, asks=self.asks(), **self.told)

    def waits(self):
        coming = ExpectedDeliveryFactory(sku=self.sku)
        told = {"promised_on": coming.expected_on, "if_short": "wait", **self.told}
        queue(customer=self.customer, need=self.need, what="four", **told)
        return coming


def hold(house):
    told = {"customer": house.customer, "what": "four", "until": FRIDAY, **house.told}
    return lambda: hold_sets(need=house.need, sets=2, **told)


def hold_after_a_lapse(house):
    house.held()
    house.told["at"] = FRIDAY
    told = {"customer": house.customer, "until": FRIDAY + timedelta(days=1), **house.told}
    return lambda: hold_pieces(sku=house.sku, quantity=12, **told)


def let_go(house):
    held = house.held()
    return lambda: release(hold=held, why="not wanted", **house.told)


def let_run_longer(house):
    held, longer = house.held(), FRIDAY + timedelta(days=1)
    return lambda: extend(hold=held, until=longer, why="on holiday", **house.told)


def order(house):
    return lambda: take_order(customer=house.customer, asks=house.asks(), **house.told)


def order_what_is_held(house):
    asks = [AskHold(hold=house.held())]
    return lambda: take_order(customer=house.customer, asks=asks, **house.told)


def change(house):
    line = house.ordered().lines.get(position=1)
    return lambda: change_line(line=line, quantity=2, **house.told)


def cancel(house):
    ordered = house.ordered()
    return lambda: cancel_order(order=ordered, why="sold", **house.told)


def serve_the_queue(house):
    coming = house.waits()
    return lambda: serve(expected=[coming.pk], **house.told)


def keep_the_fronts(house):
    """Two of the four have come, and the rest does not."""
    coming = house.waits()
    told = {"customer": house.customer, "until": FRIDAY, **house.told}
    hold_pieces(sku=house.sku, quantity=10, **told)
    ExpectedDelivery.objects.filter(pk=coming.pk).update(
        state="arrived", ended_at=AT, ended_by=house.by
    )
    return lambda: serve(expected=[coming.pk], **house.told)


def everything():
    return [list(model.objects.order_by("pk").values_list()) for model in KEPT]


@contextmanager
def killed_before(number):
    """Just before its so manieth question, or before it commits, the process is no more."""
    asked = 0
    if number == COMMIT:
        connection.commit = lambda: os.kill(os.getpid(), signal.SIGKILL)

    def count(execute, *told):
        nonlocal asked
        asked += 1
        if asked == number:
            os.kill(os.getpid(), signal.SIGKILL)
        return execute(*told)

    with connection.execute_wrapper(count):
        yield


def survives(work, number):
    """Do it in a child process that dies before its nth question; whether it got through."""
    child = os.fork()
    if child == 0:
        code = 1
        try:
            connection.connection = None  # the parent's goes on as it was
            with killed_before(number):
                work()
            code = 0
        finally:
            os._exit(code)
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        assert os.WTERMSIG(status) == signal.SIGKILL
        return False
    assert os.WEXITSTATUS(status) == 0
    return True


def in_order():
    assert differences() == []
    assert [check.look().faults for check in CHECKS] == [()] * len(CHECKS)


class Whole(APIView):
    """A write over the wire, whatever it is."""

    permission_classes = ()
    work = None

    @once
    def post(self, request):
        type(self).work()
        return Response({"done": True}, status=201)


def send(work, by):
    view = type("View", (Whole,), {"work": staticmethod(work)})
    request = APIRequestFactory().post("/", {}, headers={"Idempotency-Key": "the one"})
    force_authenticate(request, by)
    return view.as_view()(request)


WRITES = [
    *(hold, hold_after_a_lapse, let_go, order, order_what_is_held, change, cancel),
    *(serve_the_queue, keep_the_fronts, let_run_longer),
]


@pytest.mark.parametrize("write", WRITES, ids=lambda one: one.__name__)
def test_all_or_nothing_and_the_retry_completes_it(write):
    house = House()
    work = write(house)
    before = everything()
    first = 1 + WRITES.index(write) % STRIDE
    for number in (COMMIT, *range(first, MOST, STRIDE)):
        if survives(lambda: send(work, house.by), number):
            break
        assert everything() == before
    else:
        pytest.fail(f"It had not come to an end after {MOST} questions.")
    assert number > 5
    after = everything()
    assert after != before
    in_order()
    # Whoever never saw the answer sends it again: it is there, and nothing is done twice.
    again = send(work, house.by)
    assert (again.status_code, again["Idempotency-Replayed"]) == (201, "true")
    assert everything() == after
