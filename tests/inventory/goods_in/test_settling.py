"""Complaints to suppliers, followed to their end."""

from __future__ import annotations

from decimal import Decimal

import pytest

from inventory.activities import purchasing, receiving, settling
from inventory.activities.blocking import block
from inventory.activities.complained_of import ComplainedOf
from inventory.activities.moving import move
from inventory.ground.entries.faults import Faulty
from inventory.ledger.post import NotThatMany
from inventory.ledger.reconcile import differences
from inventory.models.balance import Balance
from inventory.models.expected import ExpectedDelivery
from tests.factories.buying import complaint, delivery_of, sent_order
from tests.factories.people import UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.when import AT

pytestmark = pytest.mark.django_db


@pytest.fixture
def by():
    return UserFactory()


def settled(found, settlement, by, **told):
    told = {"answer": "By letter of the 24th.", **told}
    return settling.settle(complaint=found, settlement=settlement, by=by, at=AT, **told)


def line_of(found):
    line = found.order_line
    line.refresh_from_db()
    return line


def short(by):
    order = sent_order(4, by=by)
    delivery = delivery_of(order, by=by)
    sku = order.lines.get().sku
    receiving.note_says(delivery=delivery, sku=sku, quantity=4, by=by, at=AT)
    receiving.enter_line(delivery=delivery, sku=sku, quantity=3, date_code="3026", by=by, at=AT)
    (found,) = receiving.finish(delivery=delivery, by=by, at=AT).complaints
    return found


def test_it_goes_to_the_supplier_once(by):
    found = complaint()
    sent = settling.send_complaint(complaint=found, their_reference="R-9", by=by, at=AT)
    assert (sent.state, sent.their_reference, sent.sent_by) == ("sent", "R-9", by)
    with pytest.raises(settling.SentAlready):
        settling.send_complaint(complaint=found, by=by, at=AT)


def test_a_credit_ends_the_waiting(by):
    found = settled(complaint(quantity=10), "credit", by, credit=Decimal("950"))
    line = line_of(found)
    assert (line.waived, line.disputed, line.received, line.to_come) == (10, 0, 0, 0)
    assert (line.order.state, line.order.ended_why) == ("closed", settling.SETTLED)
    assert found.credit == Decimal("950")


def test_a_replacement_is_expected_again(by):
    found = complaint(quantity=10)
    assert not ExpectedDelivery.objects.filter(state="expected").exists()
    line = line_of(settled(found, "replacement", by))
    assert (line.disputed, line.to_come) == (0, 10)
    again = ExpectedDelivery.objects.get(state="expected")
    assert (again.quantity, again.reference) == (10, f"{line.order.number}/2")


def test_a_replacement_is_received_against_the_same_order(by):
    found = complaint(quantity=4, by=by)
    settled(found, "replacement", by)
    order = found.order_line.order
    delivery = delivery_of(order, by=by)
    receiving.enter_line(
        delivery=delivery, sku=found.sku, quantity=10, date_code="3226", by=by, at=AT
    )
    assert receiving.finish(delivery=delivery, by=by, at=AT).kept == 10
    order.refresh_from_db()
    assert order.state == "closed"


def test_accepted_after_all_is_unblocked_and_goes_to_goods_in(by):
    found = settled(complaint(), "accepted", by)
    line = line_of(found)
    assert (line.received, line.disputed) == (2, 0)
    assert not found.lot.blocks.filter(lifted_at=None).exists()
    lies = Balance.objects.get(lot=found.lot, on_hand__gt=0)
    assert (lies.place, lies.on_hand) == (found.delivery.place, 2)
    assert not differences()


def test_accepted_after_all_leaves_what_is_blocked_for_another_reason(by):
    found = complaint()
    block(lot=found.lot, reason="recall", by=by, at=AT)
    settled(found, "accepted", by)
    assert [one.reason for one in found.lot.blocks.filter(lifted_at=None)] == ["recall"]


def test_over_and_accepted_is_kept_beyond_the_order(by):
    order = sent_order(3, by=by)
    delivery = delivery_of(order, by=by)
    sku = order.lines.get().sku
    receiving.enter_line(delivery=delivery, sku=sku, quantity=5, date_code="3026", by=by, at=AT)
    (found,) = receiving.finish(delivery=delivery, by=by, at=AT).complaints
    line = line_of(settled(found, "accepted", by))
    assert (line.received, line.over, line.order.state) == (3, 2, "closed")


def test_what_did_not_come_is_neither_accepted_nor_sent_back(by):
    found = short(by)
    with pytest.raises(settling.DidNotCome):
        settled(found, "accepted", by)
    with pytest.raises(settling.DidNotCome):
        settling.send_back(complaint=found, by=by, at=AT)
    assert line_of(settled(found, "credit", by)).order.state == "closed"


def test_sent_back_leaves_the_stock(by):
    found = complaint()
    back = settling.send_back(complaint=found, by=by, at=AT)
    assert back.sent_back.document == found.number
    assert not Balance.objects.filter(lot=found.lot, on_hand__gt=0).exists()
    with pytest.raises(settling.SentBackAlready):
        settling.send_back(complaint=found, by=by, at=AT)
    with pytest.raises(settling.SentBackAlready):
        settled(found, "accepted", by)
    settled(found, "replacement", by)


def test_settled_may_still_be_sent_back_unless_accepted(by):
    found = complaint()
    settled(found, "credit", by)
    assert settling.send_back(complaint=found, by=by, at=AT).sent_back
    other = complaint()
    settled(other, "accepted", by)
    with pytest.raises(settling.SettledAlready):
        settling.send_back(complaint=other, by=by, at=AT)


def test_tyres_that_were_carried_off_are_not_sent_back(by):
    found = complaint()
    away = PlaceFactory(site=found.delivery.place.site)
    told = {"source": found.delivery.quarantine, "target": away, "quantity": 1, "by": by, "at": AT}
    with pytest.raises(ComplainedOf, match="settle the complaint first"):
        move(lot=found.lot, **told)
    settled(found, "credit", by)
    move(lot=found.lot, **told)
    with pytest.raises(NotThatMany):
        settling.send_back(complaint=found, by=by, at=AT)


def test_it_is_settled_once_and_with_an_answer(by):
    found = complaint()
    with pytest.raises(Faulty, match="what was answered"):
        settled(found, "credit", by, answer=" ")
    with pytest.raises(settling.NoSuchSettlement, match="there are credited"):
        settled(found, "luck", by)
    with pytest.raises(Faulty, match="Only a credit has an amount"):
        settled(found, "replacement", by, credit=Decimal("3"))
    settled(found, "credit", by)
    with pytest.raises(settling.SettledAlready, match=f"was settled on 2026-11-23 by {by}"):
        settled(found, "accepted", by)
    with pytest.raises(settling.SettledAlready):
        settling.send_complaint(complaint=found, by=by, at=AT)


def test_an_order_waits_for_its_disputes_even_when_the_rest_is_given_up(by):
    found = complaint(quantity=2)
    order = found.order_line.order
    left = purchasing.give_up_rest(order=order, why="no more this year", by=by, at=AT)
    assert left.state == "part_received"
    assert line_of(settled(found, "credit", by)).order.state == "closed"
