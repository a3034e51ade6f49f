"""Between sites: sent, on the way, arrived in part or whole."""

from __future__ import annotations

import pytest

from inventory.activities import transferring
from inventory.activities.moving import OnATransfer, move
from inventory.activities.putting_away import put_away
from inventory.activities.transferring import Load
from inventory.ledger.moves import NoneAsked, NothingToPost
from inventory.ledger.post import NotThatMany
from inventory.ledger.reconcile import differences
from inventory.models.balance import Balance
from inventory.models.transfer import Transfer
from tests.factories.buying import transfer
from tests.factories.people import UserFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.stock import LotFactory, stock_in
from tests.factories.when import AT

pytestmark = pytest.mark.django_db


@pytest.fixture
def by():
    return UserFactory()


def arrive(sent, came, by, place=None):
    place = place or PlaceFactory(site=sent.to_site, goods_in=True)
    return transferring.book_arrival(transfer=sent, came=came, place=place, by=by, at=AT)


def on_hand(place):
    return sum(Balance.objects.filter(place=place).order_by("pk").values_list("on_hand", flat=True))


def test_what_was_sent_is_on_the_way_and_nowhere_else(by):
    sent = transfer(quantity=4)
    line = sent.lines.get()
    assert (line.quantity, line.arrived, on_hand(sent.through)) == (4, 0, 4)
    assert (sent.state, sent.number) == ("on_the_way", f"T-{sent.pk:05}")
    assert not differences()


def test_it_arrives_in_part_and_then_whole(by):
    sent = transfer(quantity=4)
    lot = sent.lines.get().lot_id
    assert arrive(sent, {lot: 3}, by).state == "arriving"
    assert on_hand(sent.through) == 1
    done = arrive(sent, {lot: 1}, by)
    assert (done.state, done.ended_by) == ("arrived", by)
    with pytest.raises(transferring.ArrivedAlready, match=f"was booked in by {by}"):
        arrive(sent, {lot: 1}, by)


def test_what_a_transfer_is_to_bring_is_not_moved_behind_its_back(by):
    sent = transfer(quantity=4)
    lot = sent.lines.get().lot
    rack = PlaceFactory(site=sent.from_site)
    told = {"lot": lot, "source": sent.through, "target": rack, "by": by, "at": AT}
    with pytest.raises(OnATransfer, match=f"on the way on {sent.number}, and 0 of it are not part"):
        move(quantity=1, **told)
    with pytest.raises(OnATransfer):
        put_away(quantity=4, **told)
    stock_in(lot=lot, place=sent.through, on_hand=2)  # not by the transfer
    move(quantity=2, **told)
    with pytest.raises(OnATransfer):
        move(quantity=1, **told)
    arrive(sent, {lot.pk: 4}, by)
    stock_in(lot=lot, place=sent.through, on_hand=1)
    assert move(quantity=1, **told)


def test_no_more_arrives_than_was_sent(by):
    sent = transfer(quantity=4)
    lot = sent.lines.get().lot
    with pytest.raises(transferring.NotOnThisTransfer, match=f"4 of lot {lot.code} are on the way"):
        arrive(sent, {lot.pk: 5}, by)
    with pytest.raises(transferring.NotOnThisTransfer, match="is not on T-"):
        arrive(sent, {LotFactory().pk: 1}, by)
    with pytest.raises(NoneAsked):
        arrive(sent, {lot.pk: 0}, by)
    with pytest.raises(NothingToPost):
        arrive(sent, {}, by)


def test_it_is_unloaded_where_it_was_sent(by):
    sent = transfer()
    with pytest.raises(transferring.NotThere, match="is at"):
        arrive(sent, {sent.lines.get().lot_id: 1}, by, place=PlaceFactory())


def send(loads, by, site, **told):
    told = {"to_site": SiteFactory(), **told}
    return transferring.send_off(from_site=site, loads=loads, by=by, at=AT, **told)


def test_one_lot_from_two_places_is_one_line(by):
    balance = stock_in(on_hand=3)
    site = balance.place.site
    PlaceFactory(site=site, in_transit=True)
    other = stock_in(lot=balance.lot, place=PlaceFactory(site=site), on_hand=2)
    loads = [Load(balance.lot, one.place, one.on_hand) for one in (balance, other)]
    assert send(loads, by, site).lines.get().quantity == 5


def test_loads_that_cannot_be(by):
    balance = stock_in(on_hand=3)
    site = balance.place.site
    load = Load(balance.lot, balance.place, 3)
    with pytest.raises(transferring.NowhereOnTheWay, match="has no place in transit"):
        send([load], by, site)
    PlaceFactory(site=site, in_transit=True)
    with pytest.raises(NothingToPost):
        send([], by, site)
    with pytest.raises(transferring.NotThere):
        send([load], by, PlaceFactory(in_transit=True).site)
    with pytest.raises(NotThatMany):
        send([Load(balance.lot, balance.place, 4)], by, site)
    with pytest.raises(NoneAsked):
        send([Load(balance.lot, balance.place, 0)], by, site)
    assert not Transfer.objects.exists()
