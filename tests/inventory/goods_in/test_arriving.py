"""A transfer arrives scan by scan: what is read, where it goes, and who has it in hand."""

from __future__ import annotations

import pytest
from django.db import IntegrityError, transaction

from inventory.activities import transferring
from inventory.activities.putting_away import PlaceIsFull
from inventory.ground.refusal import Refusal
from inventory.ledger.reconcile import differences
from inventory.models.balance import Balance
from inventory.models.place import PlaceKind, SiteKind
from inventory.models.posting import Posting
from inventory.models.transfer import Transfer, TransferLine
from tests.factories.catalogue import GtinFactory, SkuFactory
from tests.factories.people import UserFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.stock import LotFactory, stock_in
from tests.factories.when import AT

pytestmark = pytest.mark.django_db

NUMBER = "09520123456788"


@pytest.fixture
def by():
    return UserFactory()


@pytest.fixture
def sent():
    """Four tyres of lot D-00001-01 on the way, two more left where they came from; a rack there."""
    sku = SkuFactory(code="TB-ROAD")
    GtinFactory(number=NUMBER, skus=[sku])
    balance = stock_in(
        lot=LotFactory(sku=sku, code="D-00001-01"), on_hand=6, place=PlaceFactory(code="A-01")
    )
    site = balance.place.site
    PlaceFactory(site=site, in_transit=True)
    load = transferring.Load(balance.lot, balance.place, 4)
    to_site = SiteFactory(name="Staithe store")
    PlaceFactory(site=to_site, code="K-01", room=10)
    return transferring.send_off(
        from_site=site, to_site=to_site, loads=[load], by=UserFactory(), at=AT
    )


def scan(sent, text, by, **told):
    place = told.pop("place", None) or sent.to_site.places.get(code="K-01")
    return transferring.scan_arrival(transfer=sent, scanned=text, place=place, by=by, at=AT, **told)


@pytest.mark.parametrize(
    "label",
    [
        "D-00001-01",
        "d-00001-01",
        f"]d201{NUMBER}10D-00001-01",
        "]d291D-00001-01",
        "TB-ROAD",
        NUMBER,
    ],
)
def test_any_label_of_the_lot_books_in_all_of_it(label, sent, by):
    done = scan(sent, label, by)
    assert (done.lot.code, done.quantity, done.to_come) == ("D-00001-01", 4, 0)
    assert (done.transfer.state, done.transfer.ended_by) == ("arrived", by)
    there = Balance.objects.get(place__code="K-01")
    assert there.on_hand == 4
    assert not differences()


def test_a_number_is_so_many_and_the_rest_is_still_to_come(sent, by):
    assert scan(sent, "D-00001-01", by, quantity=1).to_come == 3
    assert scan(sent, "D-00001-01", by, quantity=2).transfer.state == "arriving"
    assert scan(sent, "D-00001-01", by).quantity == 1


def test_a_half_booked_arrival_is_kept_and_taken_up(sent, by):
    other = UserFactory(username="osgodby")
    with pytest.raises(transferring.NotArriving, match="scan the first tyre"):
        transferring.take_up(transfer=sent, by=other, at=AT)
    scan(sent, "D-00001-01", by, quantity=1)
    with pytest.raises(transferring.InOtherHands, match=f"{by} is booking {sent.number} in"):
        scan(sent, "D-00001-01", other)
    transferring.take_up(transfer=sent, by=other, at=AT)
    with pytest.raises(transferring.InOtherHands, match="osgodby"):
        scan(sent, "D-00001-01", by)
    assert scan(sent, "D-00001-01", other).transfer.state == "arrived"
    with pytest.raises(transferring.ArrivedAlready, match="was booked in by osgodby"):
        transferring.take_up(transfer=sent, by=by, at=AT)


def test_two_lots_of_a_sku_are_told_apart_by_their_own_labels(by):
    one = stock_in(on_hand=2)
    other = stock_in(lot=LotFactory(sku=one.lot.sku), place=one.place, on_hand=2)
    PlaceFactory(site=one.place.site, in_transit=True)
    loads = [transferring.Load(row.lot, row.place, 2) for row in (one, other)]
    place = PlaceFactory()
    sent = transferring.send_off(
        from_site=one.place.site, to_site=place.site, loads=loads, by=by, at=AT
    )
    with pytest.raises(transferring.SeveralLots, match=f"{one.lot.code}, {other.lot.code}"):
        scan(sent, one.lot.sku.code, by, place=place)
    scan(sent, one.lot.code, by, place=place)
    assert scan(sent, one.lot.sku.code, by, place=place).lot == other.lot


def refused(sent, by, text="D-00001-01", **told):
    """The sentence of a refusal that changed nothing."""
    before = Posting.objects.count(), list(TransferLine.objects.values().order_by("pk"))
    with pytest.raises(Refusal) as caught:
        scan(sent, text, by, **told)
    assert before == (Posting.objects.count(), list(TransferLine.objects.values().order_by("pk")))
    return caught.value.sentence


@pytest.mark.parametrize(
    ("quantity", "words"),
    [
        (0, "0 tyres cannot be booked"),
        (-1, "-1 tyres cannot be booked"),
        (5, "4 of lot D-00001-01 are on the way"),
        (10**9, "1,000,000,000 tyres are more"),
        (2.5, "2.5 is not a whole number"),
    ],
)
def test_numbers_that_cannot_be(quantity, words, sent, by):
    assert words in refused(sent, by, quantity=quantity)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("NO-SUCH", "“NO-SUCH” was read, and the label of a lot on T-"),
        ("A-01", "That is place A-01."),
        ("]d2010952012345", "14 figures of (01) was expected"),
    ],
)
def test_what_was_scanned_and_what_was_wanted(text, words, sent, by):
    assert words in refused(sent, by, text)


def test_another_tyre_of_the_house_is_told_what_to_do_with(sent, by):
    SkuFactory(code="OTHER")
    assert "That is OTHER." in refused(sent, by, "OTHER")
    there = PlaceFactory(site=sent.from_site, code="A-02")
    other = stock_in(lot=LotFactory(code="LOT-X"), place=there)
    words = refused(sent, by, "LOT-X")
    assert f"Lot LOT-X is not on {sent.number}. The books have 4 of it in A-02" in words
    assert "send it off as a transfer of its own" in words
    here = stock_in(lot=LotFactory(code="LOT-Y"), place=sent.to_site.places.get(code="K-01"))
    assert "4 of it in K-01 here: put it back there" in refused(sent, by, here.lot.code)
    LotFactory(code="LOT-Z")
    assert "The books have none. Put it into quarantine" in refused(sent, by, "LOT-Z")
    assert other.on_hand == 4


def test_one_more_than_were_sent_is_over(sent, by):
    extra = stock_in(place=PlaceFactory(site=sent.from_site), lot=LotFactory(code="LOT-2"))
    PlaceFactory(site=sent.to_site)
    load = [transferring.Load(extra.lot, extra.place, 2)]
    both = transferring.send_off(
        from_site=sent.from_site, to_site=sent.to_site,
        loads=[*load, transferring.Load(sent.lines.get().lot, Balance.objects.get(
            place__code="A-01").place, 1)], by=by, at=AT,
    )  # fmt: skip
    scan(both, "D-00001-01", by)
    words = refused(both, by)
    assert f"on the way on {both.number} any more: it is over. The books have 1 of it in" in words


def test_places_that_cannot_be(sent, by):
    assert "A-01 is at" in refused(sent, by, place=sent.from_site.places.get(code="A-01"))
    out = PlaceFactory(site=sent.to_site, kind=PlaceKind.DESPATCH, code="OUT-9")
    assert "OUT-9 is despatch: name a rack" in refused(sent, by, place=out)
    small = PlaceFactory(site=sent.to_site, room=3, code="S-1")
    with pytest.raises(PlaceIsFull, match="1 too many"):
        scan(sent, "D-00001-01", by, place=small)
    assert scan(sent, "D-00001-01", by, place=small, they_fit=True).quantity == 4


def test_nothing_arrives_of_what_has_arrived(sent, by):
    scan(sent, "D-00001-01", by)
    assert f"{sent.number} was booked in by {by}" in refused(sent, by)


@pytest.mark.parametrize(
    "change",
    [
        {"state": "arrived"},
        {"state": "short"},
        {"state": "arriving"},
        {"short_reason": "lost"},
    ],
)
def test_the_database_sees_to_it_that_a_transfer_is_as_far_as_its_lines(change, sent, by):
    ends = {"ended_at": AT, "ended_by": by} if change.get("state") in ("arrived", "short") else {}
    if change.get("state") == "short":
        ends["short_reason"] = "lost"
    with pytest.raises(IntegrityError), transaction.atomic():
        Transfer.objects.filter(pk=sent.pk).update(**change, **ends)
    with pytest.raises(IntegrityError), transaction.atomic():
        sent.lines.update(arrived=1)  # while it is on the way
    with pytest.raises(IntegrityError), transaction.atomic():
        sent.lines.update(arrived=3, missing=2)


def test_a_van_without_a_place_in_transit_goes_by_that_of_the_other_end(by):
    rack = PlaceFactory(site=SiteFactory(kind=SiteKind.MOBILE))
    home = PlaceFactory(in_transit=True).site
    lies = stock_in(place=rack)
    load = [transferring.Load(lies.lot, rack, 4)]
    sent = transferring.send_off(from_site=rack.site, to_site=home, loads=load, by=by, at=AT)
    assert sent.through.site == home
