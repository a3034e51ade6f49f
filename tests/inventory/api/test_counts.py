"""Counts and write-offs over the API."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from inventory.activities.holding import hold_pieces
from inventory.models.balance import Balance
from inventory.models.hold import Hold
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.stock import stock_in
from tests.support.calling import write

pytestmark = pytest.mark.django_db


@pytest.fixture
def balance():
    return stock_in(on_hand=9)


@pytest.fixture
def client(api):
    return api("warehouse")


def post(client, path, status=200, **body):
    answer = write(client, "post", path, body)
    assert answer.status_code == status, answer.content
    return answer.json()


def test_a_count_from_beginning_to_end(client, balance, api):
    begun = post(client, "counts/", 201, place=balance.place_id)
    of = f"counts/{begun['id']}/"
    said = post(client, f"{of}enter/", lot=balance.lot_id, quantity=3)
    assert [(line["counted"], line["ledger_said"]) for line in said["lines"]] == [(3, None)]
    assert post(client, f"{of}hand-in/")["state"] == "again"
    post(client, f"{of}enter/", lot=balance.lot_id, quantity=3)
    said = post(client, f"{of}hand-in/")
    assert said["state"] == "to_post"
    assert {line["ledger_said"] for line in said["lines"]} == {9}
    assert "let another look at it" in post(client, f"{of}post/", 409)["detail"]
    done = post(api("owner"), f"{of}post/")
    assert (done["state"], done["ended_by"]) == ("posted", "owner")
    assert Balance.objects.get().on_hand == 3


def test_one_counts_and_another_takes_it_up(client, balance, api):
    begun = post(client, "counts/", 201, place=balance.place_id)
    of = f"counts/{begun['id']}/"
    owner = api("owner")
    told = post(owner, "counts/", 409, place=balance.place_id)
    assert "warehouse is counting the same" in told["detail"]
    post(owner, f"{of}enter/", 409, lot=balance.lot_id, quantity=1)
    post(owner, f"{of}take-up/")
    assert post(owner, f"{of}give-up/", why="a fire drill")["state"] == "given_up"


@pytest.mark.parametrize("body", [{}, {"sku": 0}, {"place": 0}])
def test_a_count_of_nothing(client, body):
    assert write(client, "post", "counts/", body).status_code in (400, 422)


def test_a_write_off(client, balance, api):
    said = {"lot": balance.lot_id, "place": balance.place_id, "reason": "lost"}
    assert post(client, "write-offs/", 201, quantity=2, **said)["state"] == "posted"
    asked = post(client, "write-offs/", 201, quantity=5, **said)
    assert asked["state"] == "asked"
    of = f"write-offs/{asked['id']}/"
    post(client, f"{of}pass/", 409)
    owner = api("owner")
    assert post(owner, f"{of}pass/")["decided_by"] == "owner"
    assert Balance.objects.get().on_hand == 2
    assert "was posted by owner" in post(owner, f"{of}refuse/", 409, answer="No.")["detail"]


@pytest.fixture
def holds(balance):
    """Eight of the nine, two by two; the youngest last."""
    at = timezone.now()
    told = {"customer": CustomerFactory(), "by": UserFactory(), "at": at}
    return [
        hold_pieces(sku=balance.lot.sku, quantity=2, until=at + timedelta(days=3), **told)
        for _ in range(4)
    ]


def states(holds):
    return [Hold.objects.get(pk=hold.pk).state for hold in holds]


def test_the_holds_that_a_count_broke_are_named(client, balance, holds, api):
    of = f"counts/{post(client, 'counts/', 201, place=balance.place_id)['id']}/"
    for _ in range(2):
        post(client, f"{of}enter/", lot=balance.lot_id, quantity=3)
        said = post(client, f"{of}hand-in/")
        assert said["broken_holds"] == []
    done = write(api("owner"), "post", f"{of}post/", {}, key="one")
    assert done.json()["broken_holds"] == [holds[n].number for n in (3, 2, 1)]
    assert states(holds) == ["open", "broken", "broken", "broken"]
    again = write(api("owner"), "post", f"{of}post/", {}, key="one")
    assert again.json() == done.json()


def test_the_holds_that_a_write_off_broke_are_named(client, balance, holds, api):
    said = {"lot": balance.lot_id, "place": balance.place_id, "reason": "lost", "why": "gone"}
    made = post(client, "write-offs/", 201, quantity=2, **said)
    assert made["broken_holds"] == [holds[3].number]
    asked = post(client, "write-offs/", 201, quantity=5, **said)
    assert asked["broken_holds"] == []
    done = post(api("owner"), f"write-offs/{asked['id']}/pass/")
    assert done["broken_holds"] == [holds[2].number, holds[1].number]
    assert states(holds) == ["open", "broken", "broken", "broken"]
