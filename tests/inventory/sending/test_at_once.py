"""Several people at one list, one despatch, one complaint: it is done once."""

from __future__ import annotations

import pytest
from django.db import transaction

from inventory.activities import complaining, despatching, picking, returning
from inventory.activities.complaining.refusals import ClosedAlready
from inventory.activities.picking.refusals import ListHasEnded
from inventory.activities.returning import CameBack
from inventory.ground.retry import retried
from inventory.ledger.reconcile import differences
from inventory.models.despatch import Despatch
from inventory.models.lot import Lot
from inventory.models.posting import Posting, PostingKind
from inventory.models.returned import Return
from tests.factories.people import UserFactory
from tests.factories.sending import figures, held_as_lines_say, held_pieces, held_set, packed, sent
from tests.factories.when import AT
from tests.support.concurrency import at_once

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def tom():
    return UserFactory(username="tom")


@pytest.fixture(autouse=True)
def in_order():
    yield
    assert held_as_lines_say()
    assert differences() == []


def done(work, **values):
    """One request: its transaction, tried again if need be."""

    def once():
        with transaction.atomic():
            return work(at=AT, **values)

    return lambda: retried(once)


def kinds(results):
    return sorted(type(one).__name__ for one in results)


def test_one_list_sent_by_four(tom):
    shop, order, lot, _ = held_set(on_hand=9)
    listed = packed(order, shop, tom)
    told = at_once(*[done(despatching.despatch, pick_list=listed, by=tom)] * 4)
    assert kinds(told) == ["Despatch", *["ListHasEnded"] * 3]
    assert Despatch.objects.count() == 1
    assert Posting.objects.filter(kind=PostingKind.DESPATCH).count() == 1
    assert (figures(lot, shop.gather), figures(lot, shop.racks[0])) == ((0, 0), (5, 0))
    assert order.lines.get().sent == 1


def test_sent_and_cancelled_at_once(tom):
    shop, order, lot, _ = held_set()
    listed = packed(order, shop, tom)
    cancel = done(picking.cancel_list, pick_list=listed, why="he has called", by=tom)
    told = at_once(done(despatching.despatch, pick_list=listed, by=tom), cancel)
    refused = [one for one in told if isinstance(one, ListHasEnded)]
    assert len(refused) == 1
    left = Despatch.objects.count()
    assert figures(lot, shop.racks[0]) == ((0, 0) if left else (4, 4))


def test_two_lists_from_one_lot_do_not_wait_crosswise(tom):
    shop, one, lot, _ = held_pieces(quantity=2, on_hand=2)
    lists = [packed(one, shop, tom)]
    for _ in range(3):
        _, order, *_ = held_pieces(shop, quantity=2)
        lists.append(packed(order, shop, tom))
    told = at_once(*[done(despatching.despatch, pick_list=each, by=tom) for each in lists])
    assert kinds(told) == ["Despatch"] * 4
    assert figures(lot, shop.gather) == (0, 0)


def test_the_last_tyre_comes_back_once(tom):
    shop, order, lot, _ = held_pieces(quantity=3, on_hand=3)
    despatch = sent(order, shop, tom)
    came = [CameBack(despatch.lines.get(), 2, "fitted", shop.racks[0])]
    values = {"despatch": despatch, "reason": "not_wanted", "lines": came, "by": tom}
    told = at_once(*[done(returning.take_back, **values)] * 3)
    assert kinds(told) == ["MoreThanLeft", "MoreThanLeft", "Return"]
    assert Return.objects.get().lines.get().quantity == 2
    assert Lot.objects.filter(made_from=lot).count() == 1
    assert Posting.objects.filter(kind=PostingKind.RETURN).count() == 1


def test_a_complaint_is_closed_once(tom):
    shop, order, *_ = held_pieces()
    line = sent(order, shop, tom).lines.get()
    made = complaining.open_complaint(despatch_line=line, says="cracks", by=tom, at=AT)
    close = [
        done(complaining.close, complaint=made, outcome=outcome, answer="So be it.", by=tom)
        for outcome in ("credited", "rejected")
    ]
    told = at_once(*close)
    (refused,) = [one for one in told if isinstance(one, ClosedAlready)]
    made.refresh_from_db()
    assert made.get_outcome_display() in refused.sentence


def test_a_word_given_while_it_is_sent(tom):
    shop, order, *_ = held_set(date_code="1217")
    listed = packed(order, shop, tom)
    give = done(despatching.give_word, pick_list=listed, why="agreed", by=tom)
    told = at_once(give, done(despatching.despatch, pick_list=listed, by=tom))
    assert kinds(told)[-1] == "PickList"
    assert kinds(told)[0] in ("Despatch", "NeedsAWord")
