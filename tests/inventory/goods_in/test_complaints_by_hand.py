"""A complaint opened by hand: what was found on the shelf days after the delivery."""

from __future__ import annotations

import pytest

from inventory.activities import receiving, settling
from inventory.activities.blocking import block
from inventory.activities.complained_of import ComplainedOf
from inventory.activities.moving import move
from inventory.activities.receiving.afterwards import (
    ComplainedOfAlready,
    NoneOnHand,
    NoSuchComplaint,
    NotTheirs,
    NotTheShops,
    SayWhere,
    SayWhose,
)
from inventory.activities.receiving.refusals import NoQuarantine
from inventory.activities.settling import NoGoodsIn
from inventory.ground.entries.faults import Faulty
from inventory.ground.refusal import Refusal
from inventory.ground.violations import Violated, named_violation
from inventory.ledger.post import Move, NotThatMany, post
from inventory.models.balance import Balance
from inventory.models.lot import Block, Lot
from inventory.models.place import PlaceKind
from inventory.models.posting import Posting, PostingKind
from inventory.models.supplier_complaint import SupplierComplaint
from tests.factories.buying import complaint, delivery_of, sent_order
from tests.factories.people import SupplierFactory, UserFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.sending import held_pieces
from tests.factories.stock import LotFactory, stock_in
from tests.factories.when import AT
from tests.support.concurrency import at_once

pytestmark = pytest.mark.django_db


def shelf(*, on_hand=6, lot=None, **lot_fields):
    """Stock in a rack of a site that has goods in and a quarantine."""
    site = SiteFactory()
    for kind in (PlaceKind.GOODS_IN, PlaceKind.QUARANTINE):
        PlaceFactory(site=site, kind=kind)
    return stock_in(on_hand=on_hand, lot=lot, place=PlaceFactory(site=site), **lot_fields)


def opened(lot, quantity=2, **said):
    told = {"reason": "damaged", "says": "A bulge on the inner side.", **said}
    return receiving.open_complaint(lot=lot, quantity=quantity, by=UserFactory(), at=AT, **told)


def lies(lot):
    rows = Balance.objects.filter(lot=lot, on_hand__gt=0).order_by("place__kind")
    return {one.place.kind: one.on_hand for one in rows.select_related("place")}


def blocks(lot):
    return list(Block.objects.filter(lot=lot, lifted_at=None).values_list("reason", flat=True))


def received(quantity=6):
    """A lot that came by a delivery."""
    by = UserFactory()
    order = sent_order(quantity, by=by)
    delivery = delivery_of(order, by=by)
    sku = order.lines.get().sku
    receiving.enter_line(
        delivery=delivery, sku=sku, quantity=quantity, date_code="3026", by=by, at=AT
    )
    receiving.finish(delivery=delivery, by=by, at=AT)
    return Lot.objects.get(), delivery


def test_some_of_a_lot_go_to_quarantine_and_the_rest_stays_on_sale():
    balance, supplier = shelf(), SupplierFactory()
    found = opened(balance.lot, 2, supplier=supplier)
    assert lies(balance.lot) == {"quarantine": 2, "storage": 4}
    assert blocks(balance.lot) == []
    assert (found.supplier, found.delivery, found.sku) == (supplier, None, balance.lot.sku)
    assert Posting.objects.latest("pk").document == found.number


def test_the_last_of_a_lot_block_it_as_on_receipt():
    balance = shelf()
    supplier = SupplierFactory()
    opened(balance.lot, 4, supplier=supplier)
    opened(balance.lot, 2, supplier=supplier, reason="wrong_country", says="Made in Sudland.")
    assert lies(balance.lot) == {"quarantine": 6}
    assert blocks(balance.lot) == ["to_be_checked"]


def test_a_lot_that_came_by_a_delivery_names_it_and_leaves_its_order_alone():
    lot, delivery = received()
    found = opened(lot)
    assert (found.delivery, found.supplier) == (delivery, delivery.supplier)
    line = delivery.order.lines.get()
    assert (line.received, line.disputed, found.order_line) == (6, 0, None)
    with pytest.raises(NotTheirs, match=f"came by {delivery.number} from"):
        opened(lot, supplier=SupplierFactory())


def test_what_was_made_of_a_lot_came_by_its_delivery():
    lot, delivery = received()
    cut = LotFactory(sku=lot.sku, made_from=lot)
    assert receiving.delivery_of(cut) == delivery


def test_it_is_accepted_after_all():
    balance = shelf()
    found = opened(balance.lot, 6, supplier=SupplierFactory())
    told = {"complaint": found, "answer": "It is within the tolerance.", "by": UserFactory()}
    settling.settle(settlement="accepted", at=AT, **told)
    assert lies(balance.lot) == {"goods_in": 6}
    assert blocks(balance.lot) == []


def test_a_block_that_stood_before_stays_when_it_is_accepted():
    balance = shelf()
    block(lot=balance.lot, reason="damaged", by=UserFactory(), at=AT.replace(hour=1))
    found = opened(balance.lot, 6, supplier=SupplierFactory())
    settling.settle(complaint=found, settlement="accepted", answer="So.", by=UserFactory(), at=AT)
    assert blocks(balance.lot) == ["damaged"]


def test_nothing_is_accepted_into_a_site_without_goods_in():
    balance = shelf()
    balance.place.site.places.filter(kind=PlaceKind.GOODS_IN).delete()
    found = opened(balance.lot, supplier=SupplierFactory())
    told = {"settlement": "accepted", "answer": "So.", "by": UserFactory(), "at": AT}
    with pytest.raises(NoGoodsIn, match="has no place for goods in"):
        settling.settle(complaint=found, **told)
    assert lies(balance.lot) == {"quarantine": 2, "storage": 4}


@pytest.mark.parametrize("settlement", ["credit", "replacement"])
def test_it_is_settled_and_the_tyres_go_back(settlement):
    lot, delivery = received()
    found = opened(lot)
    told = {"settlement": settlement, "answer": "We are sorry.", "by": UserFactory(), "at": AT}
    settling.settle(complaint=found, **told)
    settling.send_back(complaint=found, by=UserFactory(), at=AT)
    assert lies(lot) == {"goods_in": 4}
    line = delivery.order.lines.get()
    assert (line.received, line.waived, line.disputed) == (6, 0, 0)


@pytest.mark.parametrize(
    ("quantity", "words"),
    [
        (0, "0 tyres cannot be booked"),
        (-1, "-1 tyres cannot be booked"),
        (10**9, "more than this shop can book at once"),
        (7, "6 of lot .* are in .*; 7 were asked for"),
        (2.5, "2.5 is not a whole number of tyres"),
    ],
)
def test_how_many_can_be_complained_of(quantity, words):
    balance = shelf()
    with pytest.raises(Refusal, match=words):
        opened(balance.lot, quantity, supplier=SupplierFactory())
    assert not SupplierComplaint.objects.exists()
    assert lies(balance.lot) == {"storage": 6}


@pytest.mark.parametrize(
    ("said", "refusal", "words"),
    [
        ({"reason": "short"}, NoSuchComplaint, "“short” is nothing that is found on the shelf"),
        ({"reason": "ugly"}, NoSuchComplaint, "“ugly” is nothing"),
        ({"says": " "}, Faulty, "missing|cannot be blank|Say what is wrong"),
        ({"supplier": None}, SayWhose, "say which supplier it is from"),
    ],
)
def test_what_has_to_be_said(said, refusal, words):
    balance = shelf()
    with pytest.raises(refusal, match=words):
        opened(balance.lot, **{"supplier": SupplierFactory(), **said})
    assert lies(balance.lot) == {"storage": 6}


@pytest.mark.parametrize("whose", ["customers", "consigned"])
def test_tyres_that_are_not_the_shops(whose):
    lot = LotFactory(**{whose: True})
    shelf(lot=lot)
    with pytest.raises(NotTheShops, match=f"Lot {lot.code} is not the shop's: it belongs to"):
        opened(lot, supplier=SupplierFactory())


def test_tyres_that_were_sold():
    balance = shelf()
    lines = [Move(balance.lot_id, balance.place_id, -6)]
    post(kind=PostingKind.DESPATCH, lines=lines, by=UserFactory(), at=AT)
    with pytest.raises(NoneOnHand, match="they were sold or have left otherwise"):
        opened(balance.lot, supplier=SupplierFactory())


def test_tyres_that_are_held_stay_until_they_are_released():
    held_pieces(quantity=3, on_hand=5)
    balance = Balance.objects.get(held=3)
    PlaceFactory(site=balance.place.site, kind=PlaceKind.QUARANTINE)
    with pytest.raises(Refusal, match="are held"):
        opened(balance.lot, 3, supplier=SupplierFactory())
    with pytest.raises(Refusal, match="Release what is held first"):
        opened(balance.lot, 5, supplier=SupplierFactory())
    assert opened(balance.lot, 2, supplier=SupplierFactory()).quantity == 2


def test_where_they_lie_is_said_where_they_lie_in_several_places():
    balance = shelf()
    other = PlaceFactory(site=balance.place.site)
    stock_in(lot=balance.lot, place=other, on_hand=1)
    with pytest.raises(SayWhere, match=f"1 in {other.code}"):
        opened(balance.lot, supplier=SupplierFactory())
    opened(balance.lot, 1, place=other, supplier=SupplierFactory())
    assert lies(balance.lot) == {"quarantine": 1, "storage": 6}
    with pytest.raises(NotThatMany, match=f"No lot {balance.lot.code} is in {other.code}"):
        opened(balance.lot, 1, place=other, supplier=SupplierFactory())


def test_a_site_without_quarantine():
    balance = stock_in(on_hand=4)
    with pytest.raises(NoQuarantine, match="has no quarantine"):
        opened(balance.lot, supplier=SupplierFactory())


def test_what_lies_in_quarantine_is_complained_of_once():
    first = complaint(quantity=2)
    with pytest.raises(ComplainedOfAlready, match="all but 0 are complained of already"):
        opened(first.lot, 1)
    settling.send_back(complaint=first, by=UserFactory(), at=AT)
    with pytest.raises(NoneOnHand):
        opened(first.lot, 1)


def test_what_is_complained_of_stays_in_quarantine_until_it_is_settled():
    balance = shelf()
    found = opened(balance.lot, 2, supplier=SupplierFactory())
    told = {"lot": balance.lot, "source": found.quarantine, "target": balance.place, "at": AT}
    with pytest.raises(ComplainedOf, match=r"2 of lot .* are complained of .*, and 0 are not"):
        move(quantity=1, by=UserFactory(), **told)
    stock_in(lot=balance.lot, place=found.quarantine, on_hand=1)
    with pytest.raises(ComplainedOf, match="and 1 are not"):
        move(quantity=2, by=UserFactory(), **told)
    move(quantity=1, by=UserFactory(), **told)
    by = UserFactory()
    settling.settle(complaint=found, settlement="credit", answer="Keep them.", by=by, at=AT)
    move(quantity=2, by=by, **told)
    assert lies(balance.lot) == {"storage": 7}


def test_the_database_wants_a_delivery_or_a_lot_in_quarantine():
    found = opened(shelf().lot, supplier=SupplierFactory())
    rows = SupplierComplaint.objects.filter(pk=found.pk)
    with pytest.raises(Violated, match="of a delivery, or of a lot"), named_violation():
        rows.update(quarantine=None)
    with pytest.raises(Violated, match="puts nothing of an order in doubt"), named_violation():
        rows.update(disputes=1)


@pytest.mark.django_db(transaction=True)
def test_two_people_complain_of_the_same_tyres_at_once():
    lot, supplier = shelf(on_hand=3).lot, SupplierFactory()
    people = UserFactory.create_batch(2)

    def one(number):
        return receiving.open_complaint(
            lot=lot, quantity=2, reason="damaged", says="A bulge.", supplier=supplier,
            by=people[number], at=AT,
        )  # fmt: skip

    answers = at_once(*(lambda number=number: one(number) for number in range(2)))
    refused = [one for one in answers if isinstance(one, NotThatMany)]
    assert len(refused) == 1
    assert lies(lot) == {"quarantine": 2, "storage": 1}
    assert SupplierComplaint.objects.count() == 1
