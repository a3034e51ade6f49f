"""Part of a set came: whole axles of it are kept, fronts before rears, until the rest comes."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.db import IntegrityError, transaction

from inventory.activities.holding import hold_sets, refusals, release
from inventory.activities.ordering import AskHold, AskSets, Holding, cancel_order, take_order
from inventory.activities.preordering import axles_of, kept_now, serve, withdraw
from inventory.ledger.lapse import tidy
from inventory.ledger.reconcile import differences
from inventory.models.expected import ExpectedDelivery
from inventory.models.hold import Hold
from inventory.models.preorder import PreOrder
from stockist.patrol.selling import CHECKS
from tests.factories.buying import ExpectedDeliveryFactory
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.selling import HoldFactory
from tests.factories.sending import Shop
from tests.factories.when import AT
from tests.inventory.selling.test_preordering import four, wait

pytestmark = pytest.mark.django_db
DUE = date(2026, 12, 14)


@pytest.fixture
def by():
    return UserFactory()


@pytest.fixture
def shop():
    return Shop()


@pytest.fixture
def front():
    return SkuFactory()


@pytest.fixture
def rear():
    return SkuFactory()


@pytest.fixture
def coming(front, rear):
    """The fronts and the rears, each with a delivery of its own."""
    return [ExpectedDeliveryFactory(sku=sku, expected_on=DUE) for sku in (front, rear)]


def arrives(shop, expected, quantity, by, at=AT, **lot):
    """So many came of it, and nothing more comes."""
    if quantity:
        shop.stock(quantity, sku=expected.sku, **lot)
    ended = {"state": "arrived", "ended_at": AT, "ended_by": by}
    ExpectedDelivery.objects.filter(pk=expected.pk).update(**ended)
    return serve(expected=[expected.pk], by=by, at=at)


def held(hold):
    return [(one.for_place, one.quantity) for one in hold.lines.order_by("pk")]


def in_order():
    assert differences() == []
    assert [check.look().faults for check in CHECKS] == [()] * len(CHECKS)


def test_fronts_that_come_before_the_rears_are_kept_for_whoever_is_first(
    shop, front, rear, coming, by
):
    first, second = (wait(four(front, rear), by, minutes=minutes) for minutes in (1, 2))
    turn = arrives(shop, coming[0], 3, by)
    (kept,) = turn.kept
    assert (turn.served, turn.missed, turn.waiting) == ((), (), (first, second))
    assert (kept.kept_for, kept.order_line, held(kept)) == (first, None, [("front", 2)])
    assert kept.what == "front only, of four alike"
    assert "rear still to come, and nothing of it is held" in kept.why
    assert kept.until == AT + timedelta(days=(DUE - AT.date()).days + 14)
    assert kept_now(second, at=AT) is None  # one front is no axle
    # Nobody else has them meanwhile, and the night changes nothing.
    told = {"customer": CustomerFactory(), "what": "two", "until": AT + timedelta(days=1)}
    with pytest.raises(refusals.NoSet):
        hold_sets(need=pair(front), by=by, at=AT, **told)
    assert serve(expected=[coming[0].pk], by=by, at=AT).kept == ()
    assert Hold.objects.get() == kept
    in_order()


def test_and_become_the_set_when_the_rears_come(shop, front, rear, coming, by):
    first = wait(four(front, rear), by)
    (kept,) = arrives(shop, coming[0], 2, by).kept
    (hold,) = arrives(shop, coming[1], 2, by).served
    first.refresh_from_db()
    kept.refresh_from_db()
    assert (first.state, first.hold) == ("served", hold)
    assert sorted(held(hold)) == [("front", 2), ("rear", 2)]
    assert (kept.state, kept.ended_why) == ("released", "the rest of the set has come")
    assert {one.lot_id for one in kept.lines.all()} < {one.lot_id for one in hold.lines.all()}
    in_order()


@pytest.mark.parametrize(("came", "kept"), [(0, None), (1, None), (2, 2), (3, 2)])
def test_a_short_batch_of_one_tyre_is_kept_by_the_axle_the_front_first(shop, front, by, came, kept):
    """Of four alike so many come: a whole axle or nothing, never three."""
    batch = ExpectedDeliveryFactory(sku=front, quantity=4)
    one = wait(four(front), by)
    turn = arrives(shop, batch, came, by)
    assert turn.waiting == (one,)
    assert [held(each) for each in turn.kept] == ([[("front", kept)]] if kept else [])
    in_order()


def test_what_is_lacking_counts_on_the_next_batch_and_no_more(shop, front, by):
    first, following = (
        ExpectedDeliveryFactory(sku=front, quantity=count, expected_on=DUE + timedelta(days=days))
        for count, days in ((4, 0), (2, 30))
    )
    one = wait(four(front), by)
    (kept,) = arrives(shop, first, 2, by).kept
    counts = dict(one.lines.values_list("expected", "quantity"))
    assert counts == {first.pk: 2, following.pk: 2}
    # The night changes nothing; then the rest does not come either, and no other batch is known.
    assert serve(expected=[first.pk], by=by, at=AT).waiting == (one,)
    assert dict(one.lines.values_list("expected", "quantity")) == counts
    turn = arrives(shop, following, 0, by)
    assert (turn.served, turn.missed, turn.waiting) == ((), (), (one,))
    third = ExpectedDeliveryFactory(sku=front, quantity=9)
    serve(expected=[following.pk], by=by, at=AT)
    assert dict(one.lines.values_list("expected", "quantity")) == {first.pk: 2, third.pk: 2}
    (hold,) = arrives(shop, third, 2, by).served
    assert sum(count for _, count in held(hold)) == 4
    kept.refresh_from_db()
    assert kept.state == "released"
    in_order()


def test_who_gives_up_where_the_batch_is_short_keeps_nothing(shop, front, by):
    batch = ExpectedDeliveryFactory(sku=front, quantity=4)
    one = wait(four(front), by, if_short="give_up")
    turn = arrives(shop, batch, 2, by)
    assert (turn.missed, turn.kept, Hold.objects.count()) == ((one,), (), 0)


def test_what_was_kept_is_free_again_where_the_rest_does_not_come(shop, front, rear, coming, by):
    one = wait(four(front, rear), by, if_short="give_up")
    (kept,) = arrives(shop, coming[0], 2, by).kept
    assert arrives(shop, coming[1], 1, by).missed == (one,)
    kept.refresh_from_db()
    assert (kept.state, kept.ended_why) == ("released", f"{one.number} waits no more")
    in_order()


def test_more_of_it_comes(shop, front, rear, by):
    """With a spare of its own kind: the rears are kept beside the fronts, and the spare awaited."""
    spare = SkuFactory()
    skus = (front, rear, spare)
    coming = [ExpectedDeliveryFactory(sku=sku, expected_on=DUE) for sku in skus]
    one = wait(with_spare(*skus), by)
    (first,) = arrives(shop, coming[1], 2, by).kept
    assert axles_of(first) == ("rear",)
    (second,) = arrives(shop, coming[0], 2, by).kept
    assert axles_of(second) == ("front", "rear")
    assert "spare still to come" in second.why
    first.refresh_from_db()
    assert (first.state, first.ended_why) == ("released", "kept with more of the set")
    (hold,) = arrives(shop, coming[2], 1, by).served
    assert len(held(hold)) == 3
    one.refresh_from_db()
    assert one.hold == hold
    in_order()


@pytest.mark.parametrize("ends", ["runs out", "is released"])
def test_what_ended_is_not_kept_anew(shop, front, rear, coming, by, ends):
    wait(four(front, rear), by)
    (kept,) = arrives(shop, coming[0], 2, by).kept
    late = kept.until
    if ends == "runs out":
        tidy(at=late)
    else:
        release(hold=kept, why="not wanted so long", by=by, at=AT)
    assert serve(expected=[coming[0].pk], by=by, at=late).kept == ()
    # The set is theirs all the same when it is whole.
    (hold,) = arrives(shop, coming[1], 2, by, at=late).served
    assert len(held(hold)) == 2


def test_given_up_by_the_customer(shop, front, rear, coming, by):
    one = wait(four(front, rear), by)
    (kept,) = arrives(shop, coming[0], 2, by).kept
    withdraw(pre_order=one, why="sold the car", by=by, at=AT)
    kept.refresh_from_db()
    assert kept.state == "released"
    in_order()


def test_for_an_order_line_half_a_set_is_not_held_as_a_set(shop, front, rear, coming, by):
    customer = CustomerFactory()
    asked = AskSets(need=four(front, rear), what="four alike")
    told = {"customer": customer, "by": by, "at": AT}
    order = take_order(asks=[asked], holding=Holding.NOTHING, **told)
    line = order.lines.get()
    wait(four(front, rear), by, customer=customer, order_line=line)
    (kept,) = arrives(shop, coming[0], 2, by).kept
    assert (kept.order_line, line.holds.count()) == (None, 0)
    in_order()
    cancel_order(order=order, why="sold the car", by=by, at=AT)
    kept.refresh_from_db()
    assert (kept.state, PreOrder.objects.get().state) == ("released", "withdrawn")
    in_order()


def test_fronts_that_were_ordered_alone_stay_with_that_order(shop, front, rear, coming, by):
    one = wait(four(front, rear), by)
    (kept,) = arrives(shop, coming[0], 2, by).kept
    order = take_order(customer=one.customer, asks=[AskHold(hold=kept)], by=by, at=AT)
    assert arrives(shop, coming[1], 2, by).served == ()
    kept.refresh_from_db()
    assert (kept.state, kept.order_line) == ("open", order.lines.get())
    in_order()


def test_the_database_keeps_one_at_a_time(shop, front, rear, coming, by):
    one = wait(four(front, rear), by)
    arrives(shop, coming[0], 2, by)
    match = "hold_is_kept_once_for_who_waits"
    with pytest.raises(IntegrityError, match=match), transaction.atomic():
        HoldFactory(kept_for=one)


def pair(sku):
    need = four(sku)
    return type(need)(None, type(need.recipe)(need.recipe.places[:1]))


def with_spare(front, rear, spare):
    need = four(front, rear)
    place = need.recipe.places[0]
    third = type(place)("spare", (spare.pk,), 1, apart=True)
    return type(need)(None, type(need.recipe)((*need.recipe.places, third)))
