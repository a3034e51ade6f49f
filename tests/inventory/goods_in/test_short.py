"""The end of a short transfer: who, when and why, and by another person above a few."""

from __future__ import annotations

from datetime import timedelta

import pytest

from inventory.activities import transferring, writing_off
from inventory.activities.moving import OnATransfer, move
from inventory.activities.not_arrived import CameAfterAll
from inventory.ground.refusal import Refusal
from inventory.ground.second_person import AnotherPersonIsWanted
from inventory.ledger.reconcile import differences
from inventory.models.balance import Balance
from inventory.models.write_off import WriteOff
from tests.factories.buying import transfer
from tests.factories.people import UserFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.stock import stock_in
from tests.factories.when import AT

pytestmark = pytest.mark.django_db


@pytest.fixture
def by():
    return UserFactory(username="osgodby")


def came(sent, quantity, by):
    """So many of the only lot have arrived."""
    lot = sent.lines.get().lot_id
    place = PlaceFactory(site=sent.to_site)
    return transferring.book_arrival(transfer=sent, came={lot: quantity}, place=place, by=by, at=AT)


def end(sent, by, reason="lost", **told):
    return transferring.end_short(transfer=sent, reason=reason, by=by, at=AT, **told)


def in_transit(sent):
    row = Balance.objects.filter(place=sent.through).first()
    return row.on_hand if row else 0


def test_a_few_are_written_off_at_once(by):
    sent = transfer(quantity=4)
    came(sent, 3, by)
    done = end(sent, by, why="Not on the van at Staithe.")
    assert (done.state, done.short_reason, done.short_why) == (
        "short", "lost", "Not on the van at Staithe.",
    )  # fmt: skip
    assert (done.ended_by, done.ended_at, in_transit(sent)) == (by, AT, 0)
    assert done.lines.get().missing == 1
    row = WriteOff.objects.get()
    assert (row.state, row.transfer, row.place, row.quantity) == ("posted", sent, sent.through, 1)
    assert row.posting.note == (
        f"{row.number}, lost or stolen on {sent.number}: Not on the van at Staithe."
    )
    assert not differences()
    with pytest.raises(transferring.ArrivedAlready, match="ended short by osgodby"):
        end(sent, by)


def test_many_wait_for_another_person(by):
    sent = transfer(quantity=9)
    came(sent, 3, by)
    waits = end(sent, by)
    row = WriteOff.objects.get()
    assert (waits.state, row.state, in_transit(sent)) == ("arriving", "asked", 6)
    with pytest.raises(transferring.AskedAlready, match=f"{row.number} waits for another"):
        end(sent, by)
    with pytest.raises(AnotherPersonIsWanted):
        writing_off.pass_write_off(row=row, by=by, at=AT)
    other, later = UserFactory(), AT + timedelta(hours=1)
    writing_off.pass_write_off(row=row, by=other, at=later)
    sent.refresh_from_db()
    assert (sent.state, sent.ended_by, sent.ended_at) == ("short", other, later)
    assert in_transit(sent) == 0
    assert not differences()


def test_what_is_refused_is_still_to_come(by):
    sent = transfer(quantity=6)
    end(sent, by)
    writing_off.refuse_write_off(
        row=WriteOff.objects.get(), answer="They are behind the bench.", by=UserFactory(), at=AT
    )
    assert came(sent, 6, by).state == "arrived"


def test_what_arrived_in_the_meantime_is_not_written_off(by):
    sent = transfer(quantity=6)
    end(sent, by)
    came(sent, 2, by)
    with pytest.raises(CameAfterAll, match=r"about 6 of lot L\d+, and 4 of it are still"):
        writing_off.pass_write_off(row=WriteOff.objects.get(), by=UserFactory(), at=AT)
    assert in_transit(sent) == 4


def test_a_few_of_each_lot_are_no_few(by):
    lies = [stock_in(on_hand=3)]
    lies.append(stock_in(on_hand=3, place=lies[0].place))
    PlaceFactory(site=lies[0].place.site, in_transit=True)
    loads = [transferring.Load(row.lot, row.place, 3) for row in lies]
    sent = transferring.send_off(
        from_site=lies[0].place.site, to_site=SiteFactory(), loads=loads, by=by, at=AT
    )
    assert end(sent, by).state == "arriving"
    first, second = WriteOff.objects.order_by("pk")
    assert first.state == second.state == "asked"
    other = UserFactory()
    writing_off.pass_write_off(row=first, by=other, at=AT)
    sent.refresh_from_db()
    assert (sent.state, sent.short_reason) == ("arriving", "lost")
    writing_off.refuse_write_off(row=second, answer="They came.", by=other, at=AT)
    done = transferring.book_arrival(
        transfer=sent, came={second.lot_id: 3}, place=PlaceFactory(site=sent.to_site), by=by, at=AT
    )
    assert (done.state, done.short_reason) == ("short", "lost")


def test_what_was_left_behind_goes_back_to_its_rack(by):
    sent = transfer(quantity=9)
    came(sent, 1, by)
    rack = PlaceFactory(site=sent.from_site)
    done = end(sent, by, "left_behind", found_in=rack)
    assert (done.state, done.lines.get().missing, in_transit(sent)) == ("short", 8, 0)
    assert Balance.objects.get(place=rack).on_hand == 8
    assert not WriteOff.objects.exists()
    assert not differences()


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({"reason": "left_behind"}, "Say in which place of"),
        ({"reason": "other"}, "Say what happened"),
        ({"reason": ""}, "cannot be blank"),
        ({"reason": "luck"}, "is not a valid choice"),
        ({"reason": "lost", "why": "x" * 501}, "at most 500"),
    ],
)
def test_ends_that_cannot_be(told, words, by):
    sent = transfer(quantity=4)
    with pytest.raises(Refusal) as refusal:
        end(sent, by, **told)
    assert words in str([refusal.value.sentence, refusal.value.at_fault])
    sent.refresh_from_db()
    assert (sent.state, in_transit(sent)) == ("on_the_way", 4)


def test_places_of_the_left_behind_that_cannot_be(by):
    sent = transfer(quantity=4)
    with pytest.raises(transferring.NotThere, match="is at"):
        end(sent, by, "left_behind", found_in=PlaceFactory())
    with pytest.raises(transferring.NotUnloadedThere, match="is in transit: name a rack"):
        end(sent, by, "left_behind", found_in=sent.through)
    with pytest.raises(transferring.SayWhereItIs, match="Only what was left behind"):
        end(sent, by, found_in=PlaceFactory(site=sent.from_site))


def test_in_other_hands(by):
    sent = transfer(quantity=4)
    came(sent, 1, by)
    with pytest.raises(transferring.InOtherHands, match="osgodby is booking"):
        end(sent, UserFactory())


def test_what_is_asked_about_is_not_moved_away(by):
    sent = transfer(quantity=6)
    end(sent, by)
    rack = PlaceFactory(site=sent.from_site)
    lot = sent.lines.get().lot
    with pytest.raises(OnATransfer, match="and 0 of it are not part of a transfer"):
        move(lot=lot, source=sent.through, target=rack, quantity=1, by=by, at=AT)
    row = WriteOff.objects.get()
    writing_off.pass_write_off(row=row, by=UserFactory(), at=AT)
    assert in_transit(sent) == 0
