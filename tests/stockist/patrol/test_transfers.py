"""The patrol of transfers."""

from __future__ import annotations

import pytest
from django.db import connection

from inventory.activities import transferring, writing_off
from inventory.models.balance import Balance
from inventory.models.posting import Posting
from inventory.models.write_off import WriteOff
from stockist.patrol.transfers import CHECKS
from tests.factories.buying import transfer
from tests.factories.people import UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.when import AT

pytestmark = pytest.mark.django_db


def faults():
    found = {check.name: check.look().faults for check in CHECKS}
    return {name: list(told) for name, told in found.items() if told}


@pytest.fixture
def short():
    """One on the way, one that left some behind, one of which six were written off by two."""
    by = UserFactory()
    transfer()
    back = transfer(by=by)
    rack = PlaceFactory(site=back.from_site)
    told = {"by": by, "at": AT}
    transferring.end_short(transfer=back, reason="left_behind", found_in=rack, **told)
    lost = transfer(quantity=6, by=by)
    transferring.end_short(transfer=lost, reason="lost", **told)
    writing_off.pass_write_off(row=lost.write_offs.get(), by=UserFactory(), at=AT)
    return lost


def test_what_the_activities_leave_is_in_order(short):
    assert faults() == {}
    assert [check.look().over for check in CHECKS] == [
        "3 transfers", "3 lines of transfers", "3 transfers",
    ]  # fmt: skip


def test_tyres_that_are_not_where_they_should_be_on_the_way(short):
    with connection.cursor() as cursor:
        cursor.execute("UPDATE inventory_balance SET on_hand = 1 WHERE on_hand = 4")
    assert Balance.objects.filter(on_hand=1).exists()
    assert "4 are to arrive, 1 are there." in faults()["on the way"][0]


def test_a_write_off_of_fewer_than_did_not_arrive(short):
    WriteOff.objects.update(quantity=5)
    words = f"{short}, lot {short.lines.get().lot}: 6 did not arrive, 5 were written off."
    assert faults() == {"not arrived": [words]}


def test_many_that_one_person_wrote_off_in_small_parts(short):
    row = WriteOff.objects.get()
    WriteOff.objects.update(quantity=3, decided_by=row.asked_by)
    row.refresh_from_db()
    row.pk, row.posting = None, Posting.objects.filter(kind="move").first()
    row.save(force_insert=True)
    assert faults() == {"short by many": [f"{short}: 6 were written off by one person alone."]}
