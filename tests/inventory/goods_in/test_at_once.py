"""Two people at the same moment, on connections of their own: one wins, the other is told."""

from __future__ import annotations

from functools import partial

import pytest

from inventory.activities import (
    purchasing,
    putting_away,
    receiving,
    settling,
    transferring,
    writing_off,
)
from inventory.activities.not_arrived import CameAfterAll
from inventory.activities.purchasing.refusals import ChangedSince, NotADraft, OrderHasEnded
from inventory.activities.putting_away import PlaceIsFull
from inventory.activities.receiving.refusals import (
    BookedAlready,
    InOtherHands,
    NoteBookedAlready,
    OrderChanged,
)
from inventory.ground.refusal import Refusal
from inventory.ground.retry import retried
from inventory.ledger.reconcile import differences
from inventory.models.balance import Balance
from inventory.models.delivery import Delivery, DeliveryState
from inventory.models.lot import Lot
from inventory.models.posting import Posting
from inventory.models.purchase import PurchaseLine
from tests.factories.buying import (
    PurchaseLineFactory,
    complaint,
    delivery_of,
    goods_in_at,
    sent_order,
    transfer,
)
from tests.factories.people import SupplierFactory, UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.stock import stock_in
from tests.factories.when import AT, TODAY
from tests.support.concurrency import at_once

pytestmark = pytest.mark.django_db(transaction=True)
EIGHT = 8


@pytest.fixture
def by():
    return UserFactory()


@pytest.fixture
def delivery(by):
    """Eight tyres of one SKU, read, of an order for eight."""
    order = sent_order(8, by=by)
    delivery = delivery_of(order, by=by)
    sku = order.lines.get().sku
    told = {"delivery": delivery, "sku": sku, "by": by, "at": AT}
    receiving.enter_line(quantity=8, date_code="3026", **told)
    return delivery


def split(answers):
    """What was done, and what was refused; anything else fails the test."""
    refused = [one for one in answers if isinstance(one, Exception)]
    assert all(isinstance(one, Refusal) for one in refused), refused
    return [one for one in answers if not isinstance(one, Exception)], refused


def test_a_delivery_booked_by_eight_at_once_is_booked_once(delivery, by):
    work = partial(receiving.finish, delivery=delivery, by=by, at=AT)
    done, refused = split(at_once(*[partial(retried, work)] * EIGHT))
    assert len(done) == 1
    assert {type(one) for one in refused} == {BookedAlready}
    assert "was booked in by" in refused[0].sentence
    assert Lot.objects.count() == 1
    assert Balance.objects.get().on_hand == 8
    assert PurchaseLine.objects.get().received == 8
    assert not differences()


def test_a_delivery_note_opened_by_eight_at_once_is_opened_once(by):
    supplier, place = SupplierFactory(), goods_in_at()
    work = partial(
        receiving.open_delivery, supplier=supplier, note_number="DN 7", arrived_on=TODAY,
        place=place, by=by, at=AT,
    )  # fmt: skip
    done, refused = split(at_once(*[work] * EIGHT))
    assert len(done) == 1
    assert {type(one) for one in refused} == {NoteBookedAlready}
    assert Delivery.objects.count() == 1


@pytest.mark.parametrize("times", range(4))
def test_a_line_received_while_its_order_is_changed(delivery, by, times):
    order = delivery.order
    line = order.lines.get()
    seen = order.version
    receive = partial(receiving.finish, delivery=delivery, seen=seen, by=by, at=AT)
    change = partial(
        purchasing.set_line, order=order, sku=line.sku, quantity=9, seen=seen, by=by, at=AT
    )
    received, changed = at_once(partial(retried, receive), partial(retried, change))
    line.refresh_from_db()
    if isinstance(received, Exception):
        assert isinstance(received, OrderChanged), received
        assert (line.quantity, line.received) == (9, 0)
        assert not Lot.objects.exists()
    else:
        assert isinstance(changed, ChangedSince | OrderHasEnded), changed
        assert (line.quantity, line.received) == (8, 8)
    done, refused = split([received, changed])
    assert len(done) == len(refused) == 1
    assert refused[0].sentence.endswith((".", "new."))


def test_the_one_who_waits_is_told_what_the_other_did(delivery, by, someone_else):
    order = delivery.order
    line, seen = order.lines.get(), order.version
    someone_else(lambda: purchasing.set_line(order=order, sku=line.sku, quantity=6, by=by, at=AT))
    with pytest.raises(OrderChanged, match=f"{order.number} has been changed while"):
        receiving.finish(delivery=delivery, seen=seen, by=by, at=AT)
    order.refresh_from_db()
    received = receiving.finish(delivery=delivery, seen=order.version, by=by, at=AT)
    assert (received.kept, received.put_aside) == (6, 2)


def test_a_line_read_while_the_delivery_is_booked_is_in_it_or_refused(delivery, by):
    sku = delivery.order.lines.get().sku
    read = partial(receiving.enter_line, delivery=delivery, sku=sku, date_code="3126", by=by, at=AT)
    book = partial(receiving.finish, delivery=delivery, by=by, at=AT)
    answers = at_once(*[partial(retried, read)] * 4, partial(retried, book))
    done, refused = split(answers)
    assert {type(one) for one in refused} <= {BookedAlready}
    delivery.refresh_from_db()
    assert delivery.state == DeliveryState.BOOKED
    read_in = sum(delivery.lines.order_by("pk").values_list("quantity", flat=True))
    assert read_in == 8 + len(done) - 1
    assert sum(Balance.objects.order_by("pk").values_list("on_hand", flat=True)) == read_in
    assert not differences()


def test_a_delivery_taken_up_while_it_is_booked(delivery, by):
    other = UserFactory()
    take = partial(receiving.take_up, delivery=delivery, by=other, at=AT)
    book = partial(receiving.finish, delivery=delivery, by=by, at=AT)
    done, refused = split(at_once(take, book))
    assert (len(done), len(refused)) == (1, 1)
    assert isinstance(refused[0], InOtherHands | BookedAlready)


def test_an_order_sent_by_eight_at_once_is_sent_once(by):
    order = PurchaseLineFactory().order
    work = partial(purchasing.send, order=order, by=by, at=AT)
    done, refused = split(at_once(*[work] * EIGHT))
    assert len(done) == 1
    assert {type(one) for one in refused} == {NotADraft}
    line = order.lines.get()
    assert line.expected.quantity == line.quantity


def test_a_complaint_settled_in_two_ways_at_once_is_settled_in_one(by):
    found = complaint(quantity=4)
    works = [
        partial(settling.settle, complaint=found, settlement=way, answer="By letter.", by=by, at=AT)
        for way in ("credit", "replacement", "accepted")
    ]
    done, refused = split(at_once(*[partial(retried, work) for work in works]))
    assert len(done) == 1
    assert {type(one) for one in refused} == {settling.SettledAlready}
    line = found.order_line
    line.refresh_from_db()
    assert line.disputed == 0
    assert line.received + line.waived + line.to_come == line.quantity
    assert not differences()


def test_tyres_sent_back_by_two_leave_once(by):
    found = complaint()
    work = partial(settling.send_back, complaint=found, by=by, at=AT)
    done, refused = split(at_once(*[work] * 4))
    assert len(done) == 1
    assert {type(one) for one in refused} == {settling.SentBackAlready}


def test_two_do_not_fill_a_rack_beyond_its_room(by):
    waits = [stock_in(place=PlaceFactory(goods_in=True), on_hand=3)]
    site = waits[0].place.site
    waits += [stock_in(place=waits[0].place, on_hand=3) for _ in range(5)]
    target = PlaceFactory(site=site, room=10)
    works = [
        partial(
            putting_away.put_away, lot=one.lot, source=one.place, target=target, quantity=3,
            by=by, at=AT,
        )
        for one in waits
    ]  # fmt: skip
    done, refused = split(at_once(*[partial(retried, work) for work in works]))
    assert (len(done), len(refused)) == (3, 3)
    assert {type(one) for one in refused} == {PlaceIsFull}
    there = Balance.objects.filter(place=target).order_by("pk").values_list("on_hand", flat=True)
    assert sum(there) == 9


def test_a_transfer_booked_in_by_two_arrives_once(by):
    sent = transfer(quantity=4)
    place = PlaceFactory(site=sent.to_site, goods_in=True)
    lot = sent.lines.get().lot_id
    work = partial(
        transferring.book_arrival, transfer=sent, came={lot: 4}, place=place, by=by, at=AT
    )
    postings = Posting.objects.count()
    done, refused = split(at_once(*[work] * 4))
    assert len(done) == 1
    assert {type(one) for one in refused} == {transferring.ArrivedAlready}
    assert Posting.objects.count() == postings + 1


def test_two_people_who_scan_one_arrival_at_once(by):
    """The first has it in hand; the other is told who, and may take it up."""
    sent = transfer(quantity=4)
    place = PlaceFactory(site=sent.to_site)
    people = [by, UserFactory()]
    code = sent.lines.get().lot.code
    told = {"transfer": sent, "scanned": code, "place": place, "quantity": 3, "at": AT}
    works = [partial(transferring.scan_arrival, by=one, **told) for one in people]
    done, refused = split(at_once(*works))
    assert (len(done), len(refused)) == (1, 1)
    (told_why,) = refused
    assert isinstance(told_why, transferring.InOtherHands)
    winner = done[0].transfer.at_work_by
    assert f"{winner} is booking {sent.number} in" in told_why.sentence
    assert sent.lines.get().arrived == 3
    other = next(one for one in people if one != winner)
    transferring.take_up(transfer=sent, by=other, at=AT)
    last = transferring.scan_arrival(transfer=sent, scanned=code, place=place, by=other, at=AT)
    assert (last.quantity, last.transfer.state) == (1, "arrived")
    assert not differences()


def test_written_off_while_the_rest_arrives(by):
    """One of the two is done; the other is told what has changed, and no tyre is lost twice."""
    sent = transfer(quantity=6)
    transferring.end_short(transfer=sent, reason="lost", by=by, at=AT)
    row, lot = sent.write_offs.get(), sent.lines.get().lot_id
    place = PlaceFactory(site=sent.to_site)
    arrive = partial(
        transferring.book_arrival, transfer=sent, came={lot: 2}, place=place, by=by, at=AT
    )
    passed = partial(writing_off.pass_write_off, row=row, by=UserFactory(), at=AT)
    done, refused = split(at_once(arrive, passed))
    assert (len(done), len(refused)) == (1, 1)
    assert isinstance(refused[0], (transferring.ArrivedAlready, CameAfterAll))
    assert not differences()
