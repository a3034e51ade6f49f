"""A van taken to a meeting: loaded, sold from with holds, picking and despatch, and unloaded."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction

from inventory.activities import ordering, outings, picking, transferring
from inventory.activities.ordering import AskPieces, AskSets
from inventory.activities.picking.refusals import HeldElsewhere
from inventory.availability import Need
from inventory.ground.refusal import Refusal
from inventory.ledger.reconcile import differences
from inventory.models.balance import Balance
from inventory.models.outing import Outing
from inventory.models.place import PlaceKind, Site
from inventory.models.posting import Posting
from inventory.models.transfer import Transfer
from tests.factories.buying import transfer
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.sending import Shop, four_alike, packed, sent
from tests.factories.stock import LotFactory, stock_in
from tests.factories.vans import OutingFactory
from tests.factories.when import AT, TODAY

pytestmark = pytest.mark.django_db
LATER = AT + timedelta(hours=5)


@dataclass
class Meeting:
    """A home with twelve tyres in a rack, and a van with racks and a place for despatch."""

    by: object = field(default_factory=UserFactory)
    home: Shop = field(default_factory=Shop)
    van: Shop = field(default_factory=lambda: Shop(SiteFactory(van=True, name="Meeting van")))

    def __post_init__(self):
        PlaceFactory(site=self.home.site, in_transit=True)
        self.sku = SkuFactory()
        self.lot = self.home.stock(12, sku=self.sku)
        self.outing = outings.open_outing(
            van=self.van.site, home=self.home.site, meeting="Harrowmere", day=TODAY, by=self.by,
            at=AT,
        )  # fmt: skip

    def load(self, quantity=8, **told):
        loads = [transferring.Load(self.lot, self.home.racks[0], quantity)]
        told = {"into": self.van.racks[0], "loads": loads, **told}
        return outings.load(outing=self.outing, by=self.by, at=AT, **told)

    def sell(self, quantity=2):
        """A sale at the meeting: ordered, held, picked, packed, sent, all from the van."""
        ask = AskPieces(sku=self.sku, quantity=quantity, site_id=self.van.site.pk)
        order = ordering.take_order(customer=CustomerFactory(), asks=[ask], by=self.by, at=AT)
        return sent(order, self.van, self.by)

    def unload(self, **told):
        told = {"into": self.home.racks[1], **told}
        return outings.unload(outing=self.outing, by=self.by, at=LATER, **told)

    def stands(self):
        self.outing.refresh_from_db()
        return {one.lot.pk: one for one in outings.standing(self.outing)}[self.lot.pk]


@pytest.fixture
def meeting():
    return Meeting()


def lies(site):
    rows = Balance.objects.filter(place__site=site).order_by("pk")
    return sum(row.on_hand for row in rows)


def test_loaded_sold_and_unloaded(meeting):
    done = meeting.load(8)
    assert (done.state, done.outing, lies(meeting.van.site)) == ("arrived", meeting.outing, 8)
    despatch = meeting.sell(2)
    assert {line.place.site for line in despatch.lines.all()} == {meeting.van.site}
    stands = meeting.stands()
    assert (stands.before, stands.loaded, stands.sold, stands.left) == (0, 8, 2, 6)
    back = meeting.unload()
    assert (back.state, back.lines.get().quantity) == ("arrived", 6)
    stands = meeting.stands()
    assert (stands.back, stands.arrived, stands.left, stands.differs) == (6, 6, 0, False)
    assert (lies(meeting.van.site), lies(meeting.home.site)) == (0, 10)
    assert (meeting.outing.ended_by, meeting.outing.ended_at) == (meeting.by, LATER)
    assert not differences()


def test_what_was_not_found_on_unloading_is_told_and_ended_short(meeting):
    meeting.load(8)
    meeting.sell(2)
    back = meeting.unload(came={meeting.lot.pk: 5})
    stands = meeting.stands()
    assert (back.state, stands.arrived, stands.to_come, stands.differs) == ("arriving", 5, 1, True)
    transferring.end_short(transfer=back, reason="lost", by=meeting.by, at=LATER)
    stands = meeting.stands()
    assert (stands.to_come, stands.missing, stands.differs) == (0, 1, True)
    assert lies(meeting.home.site) == 4 + 5


def test_all_of_it_may_be_scanned_in_at_home(meeting):
    meeting.load(3)
    back = meeting.unload(came={}, into=None)
    assert (back.state, lies(meeting.van.site)) == ("on_the_way", 0)
    rack = meeting.home.racks[2]
    told = {"scanned": meeting.lot.code, "place": rack, "by": meeting.by, "at": LATER}
    assert transferring.scan_arrival(transfer=back, **told).transfer.state == "arrived"


def test_an_empty_van_is_unloaded_without_a_transfer(meeting):
    assert meeting.unload(into=None) is None
    assert Outing.objects.get().ended_by == meeting.by


def test_what_was_in_the_van_before_comes_home_too(meeting):
    stock_in(lot=meeting.lot, place=meeting.van.racks[1], on_hand=1, by=meeting.by)
    stock_in(lot=meeting.lot, place=meeting.van.racks[1], on_hand=1, by=meeting.by, at=AT)
    meeting.load(4)
    stands = meeting.stands()
    assert (stands.before, stands.loaded, stands.left) == (2, 4, 6)
    stock_in(lot=meeting.lot, place=meeting.van.racks[2], on_hand=1, by=meeting.by, at=LATER)
    assert (meeting.stands().otherwise, meeting.stands().left) == (1, 7)
    assert meeting.unload().lines.get().quantity == 7


def test_a_set_is_sold_from_the_van_and_not_from_home(meeting):
    meeting.load(4)
    need = Need(None, four_alike(meeting.sku), site_id=meeting.van.site.pk)
    order = ordering.take_order(
        customer=CustomerFactory(), asks=[AskSets(need=need, what="four tyres")], by=meeting.by,
        at=AT,
    )  # fmt: skip
    assert sent(order, meeting.van, meeting.by).lines.count() == 2
    assert meeting.stands().sold == 4
    with pytest.raises(Refusal, match="No complete set can be had: front short: 0 in stock"):
        ordering.take_order(
            customer=CustomerFactory(), asks=[AskSets(need=need, what="four tyres")],
            by=meeting.by, at=AT,
        )  # fmt: skip


def test_what_is_held_at_home_is_not_picked_from_the_van(meeting):
    ask = AskPieces(sku=meeting.sku, quantity=2, site_id=meeting.home.site.pk)
    order = ordering.take_order(customer=CustomerFactory(), asks=[ask], by=meeting.by, at=AT)
    with pytest.raises(HeldElsewhere, match="gather it there, or bring it over"):
        picking.make_list(order=order, to_place=meeting.van.gather, by=meeting.by, at=AT)


def test_what_is_held_in_the_van_goes_home_with_its_hold(meeting):
    meeting.load(4)
    ask = AskPieces(sku=meeting.sku, quantity=2, site_id=meeting.van.site.pk)
    order = ordering.take_order(customer=CustomerFactory(), asks=[ask], by=meeting.by, at=AT)
    meeting.unload()
    there = Balance.objects.get(place=meeting.home.racks[1])
    assert (there.on_hand, there.held) == (4, 2)
    assert sent(order, meeting.home, meeting.by, at=LATER).lines.get().quantity == 2


def refused(work, words):
    """A refusal in these words that changed nothing."""
    before = Posting.objects.count(), Transfer.objects.count(), Outing.objects.count()
    with pytest.raises(Refusal) as caught:
        work()
    assert words in caught.value.sentence
    assert before == (Posting.objects.count(), Transfer.objects.count(), Outing.objects.count())


def test_picked_tyres_do_not_leave_the_van_by_the_back_door(meeting):
    meeting.load(4)
    ask = AskPieces(sku=meeting.sku, quantity=2, site_id=meeting.van.site.pk)
    order = ordering.take_order(customer=CustomerFactory(), asks=[ask], by=meeting.by, at=AT)
    packed(order, meeting.van, meeting.by)
    refused(meeting.unload, "PL-")


@pytest.mark.parametrize(
    ("quantity", "words"),
    [
        (0, "0 tyres cannot be booked"),
        (-1, "-1 tyres cannot be booked"),
        (2.5, "2.5 is not a whole number"),
        (10**9, "1,000,000,000 tyres are more"),
        (13, "13 were asked for"),
    ],
)
def test_loads_that_cannot_be(quantity, words, meeting):
    refused(lambda: meeting.load(quantity), words)


def test_places_that_cannot_be(meeting):
    meeting.load(4)
    refused(lambda: meeting.load(1, into=meeting.home.racks[1]), "name a rack of Meeting van")
    refused(lambda: meeting.load(1, into=meeting.van.gather), "is despatch at Meeting van")
    refused(lambda: meeting.unload(into=meeting.van.racks[0]), "name a rack, a place of goods in")
    refused(lambda: meeting.unload(into=None), "Say into which place of")
    small = PlaceFactory(site=meeting.van.site, room=2)
    refused(lambda: meeting.load(3, into=small), "1 too many")
    other = LotFactory(code="LOT-9")
    refused(lambda: meeting.unload(came={other.pk: 1}), "the van does not have lot LOT-9")
    refused(lambda: meeting.unload(came={meeting.lot.pk: 5}), "4 of lot")
    refused(lambda: meeting.unload(came={meeting.lot.pk: -1}), "-1 tyres cannot be booked")


def test_a_van_is_out_once_and_back_once(meeting):
    told = {"home": meeting.home.site, "meeting": "Again", "day": TODAY, "by": meeting.by}
    refused(
        lambda: outings.open_outing(van=meeting.van.site, at=AT, **told),
        "is out already, for Harrowmere",
    )
    refused(lambda: outings.open_outing(van=meeting.home.site, at=AT, **told), "is no van")
    meeting.unload()
    refused(meeting.unload, "was unloaded by")
    refused(lambda: meeting.load(1), "has ended")
    assert outings.open_outing(van=meeting.van.site, at=LATER, **told).number.startswith("V-")
    other = SiteFactory(van=True)
    with pytest.raises(Refusal, match="another site than itself"):
        outings.open_outing(van=other, at=AT, **{**told, "home": other})


def test_the_database_keeps_vans_and_their_transfers(meeting):
    with pytest.raises(IntegrityError), transaction.atomic():
        OutingFactory(van=SiteFactory())
    with pytest.raises(IntegrityError), transaction.atomic():
        Site.objects.filter(pk=meeting.van.site.pk).update(kind="fixed")
    other = transfer()
    with pytest.raises(IntegrityError), transaction.atomic():
        Transfer.objects.filter(pk=other.pk).update(outing=meeting.outing)
    assert meeting.van.gather.kind == PlaceKind.DESPATCH
