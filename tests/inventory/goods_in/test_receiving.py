"""A delivery from the lorry to goods in: opened, read, kept half-done, booked as a whole."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest

from inventory.activities import purchasing, receiving
from inventory.activities.receiving import refusals
from inventory.availability import stock_of
from inventory.ground.entries.faults import Faulty
from inventory.ledger.moves import NoneAsked
from inventory.ledger.reconcile import differences
from inventory.models.balance import Balance
from inventory.models.delivery import DeliveryState
from inventory.models.expected import ExpectedDelivery
from inventory.models.lot import Lot
from inventory.models.place import PlaceKind
from inventory.models.supplier_complaint import SupplierComplaint
from tests.factories.buying import (
    DeliveryFactory,
    PurchaseOrderFactory,
    delivery_of,
    goods_in_at,
    sent_order,
)
from tests.factories.catalogue import SkuFactory
from tests.factories.people import SupplierFactory, UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.when import AT, TODAY

pytestmark = pytest.mark.django_db


@pytest.fixture
def by():
    return UserFactory()


def read(delivery, sku, quantity=1, **values):
    values.setdefault("date_code", "3026")
    return receiving.enter_line(
        delivery=delivery, sku=sku, quantity=quantity, by=delivery.at_work_by, at=AT, **values
    ).line


def finished(delivery, **told):
    return receiving.finish(delivery=delivery, by=delivery.at_work_by, at=AT, **told)


def lies(kind):
    rows = Balance.objects.filter(place__kind=kind, on_hand__gt=0).order_by("lot__code")
    return [(row.lot.code, row.on_hand) for row in rows.select_related("lot")]


# Opening


def test_a_delivery_is_opened_once_for_its_note(by):
    order = sent_order(4)
    delivery = delivery_of(order, by=by, note_number="DN 77")
    with pytest.raises(refusals.NoteBookedAlready, match=f"there already as {delivery.number}"):
        delivery_of(order, by=by, note_number="dn 77")
    assert delivery_of(supplier=SupplierFactory(), by=by, note_number="DN 77")


def test_a_note_that_was_given_up_may_be_booked_afresh(by):
    order = sent_order(4)
    first = delivery_of(order, by=by, note_number="DN 77")
    receiving.give_up(delivery=first, why="the wrong supplier", by=by, at=AT)
    assert delivery_of(order, by=by, note_number="DN 77").pk != first.pk
    with pytest.raises(refusals.BookedAlready, match="was given up by"):
        read(first, SkuFactory())


def test_the_quarantine_of_the_site_is_taken(by):
    place = goods_in_at()
    delivery = delivery_of(sent_order(4), by=by, place=place)
    assert delivery.quarantine.kind == PlaceKind.QUARANTINE
    assert delivery.quarantine.site == place.site


@pytest.mark.parametrize(
    ("wrong", "refusal"),
    [
        ({"place": lambda: PlaceFactory(goods_in=True)}, refusals.NoQuarantine),
        ({"place": PlaceFactory}, refusals.NotThatKindOfPlace),
        ({"quarantine": lambda: PlaceFactory(quarantine=True)}, refusals.NotThatKindOfPlace),
        ({"note_number": lambda: ""}, Faulty),
        ({"arrived_on": lambda: TODAY + timedelta(days=1)}, Faulty),
    ],
)
def test_heads_that_cannot_be(wrong, refusal, by):
    order = sent_order(4)
    with pytest.raises(refusal):
        delivery_of(order, by=by, **{name: make() for name, make in wrong.items()})


def test_an_order_that_is_not_waited_for(by):
    order = sent_order(4, by=by)
    purchasing.cancel(order=order, why="twice", by=by, at=AT)
    for one in (PurchaseOrderFactory(), purchasing.draft(
        supplier=order.supplier, deliver_to=order.deliver_to, by=by, at=AT
    )):  # fmt: skip
        with pytest.raises(refusals.NotWaitedFor, match="is draft: nothing of it is waited for"):
            delivery_of(one, by=by)
    order.refresh_from_db()
    with pytest.raises(refusals.NotWaitedFor, match="cancelled"):
        delivery_of(order, by=by)


def test_an_order_of_another_supplier(by):
    delivery = DeliveryFactory(at_work_by=by)
    with pytest.raises(refusals.NotFromThem):
        receiving.change_delivery(delivery=delivery, order=sent_order(4), by=by, at=AT)


# Half done


def test_a_half_finished_booking_is_kept_and_taken_up_by_someone_else(by):
    order = sent_order(4)
    (line,) = order.lines.all()
    delivery = delivery_of(order, by=by)
    read(delivery, line.sku)
    other = UserFactory(username="tom")
    with pytest.raises(refusals.InOtherHands, match=f"{by} has {delivery.number} in hand"):
        receiving.enter_line(delivery=delivery, sku=line.sku, date_code="3026", by=other, at=AT)
    taken = receiving.take_up(delivery=delivery, by=other, at=AT)
    read(taken, line.sku)
    with pytest.raises(refusals.InOtherHands, match="tom has"):
        read(delivery, line.sku)
    assert [one.entered_by for one in taken.lines.order_by("pk")] == [by, other]
    assert finished(taken).kept == 2


def test_nothing_reaches_stock_before_the_end(by):
    delivery = delivery_of(sent_order(4), by=by)
    read(delivery, delivery.order.lines.get().sku, 4)
    assert not Balance.objects.exists()
    assert not Lot.objects.exists()


def test_a_line_entered_by_mistake_is_taken_out(by):
    delivery = delivery_of(sent_order(4), by=by)
    line = read(delivery, delivery.order.lines.get().sku)
    told = {"delivery": delivery, "line": line.pk, "by": by, "at": AT}
    receiving.strike_line(**told)
    with pytest.raises(refusals.StruckOutAlready):
        receiving.strike_line(**told)
    with pytest.raises(refusals.NothingRead):
        finished(delivery)


def test_a_booking_is_given_up_for_a_reason(by):
    delivery = delivery_of(sent_order(4), by=by)
    with pytest.raises(refusals.ReadAlready):
        receiving.give_up(delivery=delivery, why=" ", by=by, at=AT)


@pytest.mark.parametrize("quantity", [0, -2])
def test_lines_of_nothing(quantity, by):
    delivery = delivery_of(sent_order(4), by=by)
    with pytest.raises(NoneAsked):
        read(delivery, SkuFactory(), quantity)
    with pytest.raises(Faulty, match="1 to 1,000 tyres"):
        read(delivery, SkuFactory(), 1001)


def test_what_cannot_be_read_is_not_kept(by):
    delivery = delivery_of(sent_order(4), by=by)
    with pytest.raises(Faulty) as refused:
        read(delivery, SkuFactory(marked=True), date_code="5426")
    assert {fault.field for fault in refused.value.faults} == {"date_code", "mark"}
    assert not delivery.lines.exists()


# Booked


def test_what_is_right_goes_to_goods_in_as_lots(by):
    order = sent_order(10, by=by)
    (line,) = order.lines.all()
    delivery = delivery_of(order, by=by)
    read(delivery, line.sku, 3, country="Norland")
    read(delivery, line.sku, 2, date_code="3126")
    read(delivery, line.sku, 1, country="Norland")
    received = finished(delivery)
    assert (received.kept, received.put_aside, received.complaints) == (6, 0, ())
    number = delivery.number
    assert lies("goods_in") == [(f"{number}-01", 4), (f"{number}-02", 2)]
    lot = Lot.objects.get(code=f"{number}-01")
    assert (lot.delivery, lot.date_code, lot.country) == (number, "3026", "Norland")
    assert (lot.unit_cost, lot.currency, lot.received_on) == (Decimal("95.00"), "GBP", TODAY)
    line.refresh_from_db()
    order.refresh_from_db()
    assert (line.received, line.to_come, order.state) == (6, 4, "part_received")
    assert received.delivery.posting.document == number
    assert not differences()


def test_an_order_all_of_which_has_come_is_closed(by):
    order = sent_order(4, 2, by=by)
    delivery = delivery_of(order, by=by)
    for line in order.lines.all():
        read(delivery, line.sku, line.quantity)
    finished(delivery)
    order.refresh_from_db()
    assert (order.state, order.ended_why) == ("closed", "all of it has come")
    assert set(ExpectedDelivery.objects.values_list("state", flat=True)) == {"arrived"}


def test_the_rest_is_still_expected(by):
    order = sent_order(10, by=by)
    delivery = delivery_of(order, by=by)
    read(delivery, order.lines.get().sku, 4)
    finished(delivery)
    assert list(ExpectedDelivery.objects.values_list("quantity", "state")) == [(6, "expected")]


def test_what_of_the_expected_has_arrived_is_told_for_whoever_waits(by):
    order = sent_order(10, 4, by=by)
    first, second = order.lines.all()
    delivery = delivery_of(order, by=by)
    read(delivery, first.sku, 6)
    read(delivery, first.sku, 1, found="damaged")
    read(delivery, second.sku, 5)
    told = {one.expected: (one.quantity, one.expected.state) for one in finished(delivery).arrivals}
    assert told == {first.expected: (6, "expected"), second.expected: (4, "arrived")}
    other = delivery_of(supplier=SupplierFactory(), by=by)
    read(other, first.sku)
    assert finished(other).arrivals == ()


def test_identification_numbers_of_one_week_and_plant_are_one_lot(by):
    delivery = delivery_of(sent_order(10), by=by)
    sku = delivery.order.lines.get().sku
    read(delivery, sku, date_code="DOT B9XY 8LMN 3026")
    read(delivery, sku, date_code="B9XY8LMN3026")
    read(delivery, sku, date_code="3026")
    finished(delivery)
    found = Lot.objects.order_by("code").values_list("plant", "date_code")
    assert list(found) == [("B9", "3026"), ("", "3026")]


@pytest.mark.parametrize(
    ("reading", "reason", "blocked"),
    [
        ({"found": "damaged"}, "damaged", "damaged"),
        ({"found": "part_worn"}, "part_worn", "to_be_checked"),
        ({"mark": "HLM", "mark_issue": "1"}, "wrong_mark", "wrong_mark"),
        ({"date_code": "1012"}, "too_old", "too_old"),
        ({"size_read": "175/70 R 15 86V"}, "wrong_tyre", "to_be_checked"),
        ({"size_read": "185/70 R 15 89H"}, "wrong_service", "to_be_checked"),
    ],
)
def test_what_disagrees_goes_to_quarantine_and_becomes_a_complaint(reading, reason, blocked, by):
    order = sent_order(10, skus=[SkuFactory(marked=True)], oldest_months=12, by=by)
    line = order.lines.get()
    delivery = delivery_of(order, by=by)
    right = {"mark": "HLM", "mark_issue": "2"}
    read(delivery, line.sku, 4, **right)
    read(delivery, line.sku, 2, **{**right, **reading})
    received = finished(delivery)
    assert (received.kept, received.put_aside) == (4, 2)
    (complaint,) = received.complaints
    assert (complaint.reason, complaint.quantity, complaint.disputes) == (reason, 2, 2)
    assert (complaint.order_line, complaint.supplier) == (line, order.supplier)
    assert complaint.says
    assert lies("quarantine") == [(complaint.lot.code, 2)]
    assert complaint.lot.blocks.get().reason == blocked
    line.refresh_from_db()
    assert (line.received, line.disputed, line.to_come) == (4, 2, 4)
    assert stock_of([line.sku_id], at=AT)[line.sku_id].to_sell == 4


def test_what_is_over_goes_to_quarantine(by):
    order = sent_order(3, by=by)
    delivery = delivery_of(order, by=by)
    line = read(delivery, order.lines.get().sku, 5)
    received = finished(delivery)
    (complaint,) = received.complaints
    assert (received.kept, complaint.reason, complaint.quantity) == (3, "over", 2)
    assert complaint.disputes == 0
    line.refresh_from_db()
    assert (line.over, line.over_lot) == (2, complaint.lot)
    order.refresh_from_db()
    assert order.state == "closed"


def test_what_is_not_on_the_order_goes_to_quarantine(by):
    delivery = delivery_of(sent_order(3), by=by)
    read(delivery, SkuFactory(), 2)
    (complaint,) = finished(delivery).complaints
    assert (complaint.reason, complaint.order_line) == ("not_ordered", None)


def test_what_is_short_of_the_note_is_missed(by):
    order = sent_order(10, 4, by=by)
    first, second = order.lines.all()
    delivery = delivery_of(order, by=by)
    for line in (first, second):
        receiving.note_says(delivery=delivery, sku=line.sku, quantity=4, by=by, at=AT)
    read(delivery, first.sku, 3)
    found = {one.sku: one for one in finished(delivery).complaints}
    assert (found[first.sku].quantity, found[first.sku].reason) == (1, "short")
    assert found[second.sku].says == "The delivery note says 4; 0 came."
    first.refresh_from_db()
    second.refresh_from_db()
    assert (first.received, first.disputed, first.to_come) == (3, 1, 6)
    assert (second.disputed, second.to_come) == (4, 0)


def test_the_note_is_told_again_or_taken_back(by):
    order = sent_order(4, by=by)
    sku = order.lines.get().sku
    delivery = delivery_of(order, by=by)
    for quantity in (9, 3, 0):
        receiving.note_says(delivery=delivery, sku=sku, quantity=quantity, by=by, at=AT)
    read(delivery, sku, 2)
    assert finished(delivery).complaints == ()


def test_old_stock_bought_without_an_order(by):
    delivery = delivery_of(supplier=SupplierFactory(), by=by)
    read(delivery, SkuFactory(), 7)
    received = finished(delivery)
    assert (received.kept, received.complaints) == (7, ())
    assert Lot.objects.get().unit_cost is None


def test_the_first_delivery_ends_an_announcement(by):
    sku = SkuFactory(announced=True)
    order = sent_order(4, skus=[sku], by=by)
    delivery = delivery_of(order, by=by)
    read(delivery, sku, 2)
    finished(delivery)
    sku.refresh_from_db()
    assert (sku.status, sku.expected_on) == ("current", None)


def test_only_damaged_ones_are_no_first_delivery(by):
    sku = SkuFactory(announced=True)
    delivery = delivery_of(sent_order(4, skus=[sku]), by=by)
    read(delivery, sku, found="damaged")
    finished(delivery)
    sku.refresh_from_db()
    assert sku.status == "announced"


def test_a_delivery_is_booked_once(by):
    delivery = delivery_of(sent_order(4), by=by)
    read(delivery, delivery.order.lines.get().sku, 4)
    finished(delivery)
    with pytest.raises(refusals.BookedAlready, match=f"{delivery.number} was booked in by {by}"):
        finished(delivery)
    assert Lot.objects.count() == 1


def test_an_order_changed_meanwhile_is_looked_at_again(by):
    order = sent_order(4, by=by)
    line = order.lines.get()
    delivery = delivery_of(order, by=by)
    read(delivery, line.sku, 4)
    purchasing.set_line(order=order, sku=line.sku, quantity=2, by=by, at=AT)
    with pytest.raises(refusals.OrderChanged, match=f"{order.number} has been changed while"):
        finished(delivery, seen=order.version)
    assert not Lot.objects.exists()
    order.refresh_from_db()
    received = finished(delivery, seen=order.version)
    assert (received.kept, received.put_aside) == (2, 2)


def test_an_order_cancelled_meanwhile_is_another_decision(by):
    order = sent_order(4, by=by)
    delivery = delivery_of(order, by=by)
    read(delivery, order.lines.get().sku, 4)
    purchasing.cancel(order=order, why="twice", by=by, at=AT)
    with pytest.raises(refusals.NotWaitedFor, match="Book the delivery without an order"):
        finished(delivery)
    held = receiving.change_delivery(delivery=delivery, order=None, by=by, at=AT)
    assert finished(held).kept == 4


def test_a_refusal_leaves_nothing_behind(by):
    delivery = delivery_of(sent_order(4), by=by)
    with pytest.raises(refusals.NothingRead):
        finished(delivery)
    delivery.refresh_from_db()
    assert delivery.state == DeliveryState.IN_PROGRESS
    assert not SupplierComplaint.objects.exists()
