"""A process killed with -9 in the middle of a write leaves nothing; the retry completes it."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time

import pytest
from django.db import connection, transaction

from inventory.activities import despatching, returning
from inventory.activities.returning import CameBack
from inventory.ledger.reconcile import differences
from inventory.models.balance import Balance
from inventory.models.despatch import Despatch, DespatchLine
from inventory.models.hold import Hold
from inventory.models.lot import Lot
from inventory.models.pick import PickList
from inventory.models.posting import LedgerLine, Posting
from inventory.models.returned import Return, ReturnLine
from inventory.models.sale import Order, OrderLine
from tests.factories.people import UserFactory
from tests.factories.sending import figures, held_as_lines_say, held_pieces, held_set, packed, sent
from tests.factories.when import AT
from tests.support.source import ROOT
from tests.worker.house import address_of

pytestmark = pytest.mark.django_db(transaction=True)
PATIENCE = 90
TABLES = (
    *(Balance, Posting, LedgerLine, Hold, Lot, Order, OrderLine, PickList),
    *(Despatch, DespatchLine, Return, ReturnLine),
)
# Each does its whole write and then waits for a lock that the test holds, before it can commit.
SENDS = """
from inventory.activities.despatching import despatch
despatch(pick_list=PickList.objects.get(pk={list}), by=who, at=AT)
"""
TAKES_BACK = """
from inventory.activities.returning import CameBack, take_back
sent = Despatch.objects.get(pk={despatch})
came = [CameBack(sent.lines.get(), 2, "fitted", Place.objects.get(pk={place}))]
take_back(despatch=sent, reason="not_wanted", lines=came, by=who, at=AT)
"""
AROUND = """
import django; django.setup()
from django.contrib.auth.models import User
from django.db import connection, transaction
from inventory.models.despatch import Despatch
from inventory.models.pick import PickList
from inventory.models.place import Place
from tests.factories.when import AT
who = User.objects.get(username="tom")
with transaction.atomic():
    {work}
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_advisory_xact_lock(4711)")
"""


@pytest.fixture
def tom():
    return UserFactory(username="tom")


def everything():
    return [list(table.objects.order_by("pk").values()) for table in TABLES]


def waiting() -> bool:
    with connection.cursor() as cursor:
        cursor.execute("SELECT count(*) FROM pg_locks WHERE locktype = 'advisory' AND NOT granted")
        return cursor.fetchone()[0] > 0


def killed_when_all_is_written(work: str) -> None:
    """Start the work in a process of its own, and kill it when it has only to commit."""
    body = AROUND.format(work=work.strip().replace("\n", "\n    "))
    environment = {
        **os.environ,
        "DJANGO_SETTINGS_MODULE": "stockist.settings",
        "DATABASE_URL": address_of(connection.settings_dict),
        "PYTHONPATH": str(ROOT),
    }
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_advisory_lock(4711)")
        child = subprocess.Popen(
            [sys.executable, "-c", body], env=environment, stderr=subprocess.PIPE, text=True
        )
        try:
            until = time.monotonic() + PATIENCE
            while not waiting() and child.poll() is None and time.monotonic() < until:
                time.sleep(0.05)
            assert waiting(), child.communicate(timeout=5)[1] if child.poll() else "it never came"
        finally:
            child.send_signal(signal.SIGKILL)
            child.communicate(timeout=PATIENCE)
            cursor.execute("SELECT pg_advisory_unlock(4711)")
    assert child.returncode == -signal.SIGKILL
    gone_by = time.monotonic() + PATIENCE
    while waiting() and time.monotonic() < gone_by:
        time.sleep(0.05)  # the server notices that nobody is there any more


def test_a_despatch(tom):
    shop, order, lot, _ = held_set(on_hand=5)
    listed = packed(order, shop, tom)
    before = everything()
    killed_when_all_is_written(SENDS.format(list=listed.pk))
    assert everything() == before
    with transaction.atomic():
        despatching.despatch(pick_list=listed, by=tom, at=AT)
    assert figures(lot, shop.gather) == (0, 0)
    assert held_as_lines_say()
    assert differences() == []


def test_a_return(tom):
    shop, order, lot, _ = held_pieces(quantity=3, on_hand=3)
    despatch = sent(order, shop, tom)
    before = everything()
    killed_when_all_is_written(TAKES_BACK.format(despatch=despatch.pk, place=shop.racks[0].pk))
    assert everything() == before
    came = [CameBack(despatch.lines.get(), 2, "fitted", shop.racks[0])]
    made = returning.take_back(despatch=despatch, reason="not_wanted", lines=came, by=tom, at=AT)
    assert figures(made.lines.get().into_lot, shop.racks[0]) == (2, 0)
    assert Lot.objects.filter(made_from=lot).count() == 1
    assert differences() == []
