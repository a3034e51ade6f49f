"""Transfers over the API: booked in by scan, taken up, ended short; each step safe to repeat."""

from __future__ import annotations

import pytest

from tests.factories.buying import transfer
from tests.factories.places import PlaceFactory
from tests.support.calling import refused, write

pytestmark = pytest.mark.django_db


@pytest.fixture
def sent():
    return transfer(quantity=6)


@pytest.fixture
def place(sent):
    return PlaceFactory(site=sent.to_site)


def step(client, sent, name, told=None, **options):
    return write(client, "post", f"transfers/{sent.pk}/{name}/", told or {}, **options)


def done(answer):
    assert answer.status_code == 200, answer.content
    return answer.json()


def test_a_scan_books_in_once_however_often_it_is_sent(api, sent, place):
    warehouse, lot = api("warehouse"), sent.lines.get().lot
    told = {"scanned": lot.code, "place": place.pk, "quantity": 2}
    first, second = (done(step(warehouse, sent, "scan", told, key="k")) for _ in range(2))
    assert first == second
    assert (first["state"], first["at_work_by"]) == ("arriving", "warehouse")
    assert first["lines"] == [
        {"lot": lot.pk, "lot_code": lot.code, "quantity": 6, "arrived": 2, "missing": 0,
         "to_come": 4}
    ]  # fmt: skip
    rest = done(step(warehouse, sent, "scan", {"scanned": lot.code, "place": place.pk}))
    assert (rest["state"], rest["ended_by"]) == ("arrived", "warehouse")
    refused(step(warehouse, sent, "scan", told), 409, "was booked in by warehouse")


@pytest.mark.parametrize(
    ("said", "status", "words"),
    [
        ({"scanned": "NO-SUCH"}, 400, "and the label of a lot on T-"),
        ({"scanned": ""}, 400, "may not be blank"),
        ({"quantity": 0}, 400, "0 tyres cannot be booked"),
        ({"quantity": -1}, 400, "-1 tyres cannot be booked"),
        ({"quantity": 2.5}, 400, "valid integer"),
        ({"quantity": 10**9}, 400, "1,000,000,000 tyres are more"),
        ({"quantity": 7}, 409, "6 of lot"),
        ({"place": 10**9}, 400, "object does not exist"),
        ({"plaec": 1}, 400, "plaec"),
    ],
)
def test_scans_that_cannot_be(said, status, words, api, sent, place):
    told = {"scanned": sent.lines.get().lot.code, "place": place.pk, **said}
    refused(step(api("warehouse"), sent, "scan", told), status, words)
    refused(step(api("warehouse"), sent, "scan", {**told, "place": sent.through_id}), 400)


def test_it_is_taken_up_and_ended_short_by_two(api, sent, place):
    warehouse, owner = api("warehouse"), api("owner")
    told = {"scanned": sent.lines.get().lot.code, "place": place.pk, "quantity": 1}
    refused(step(owner, sent, "take-up"), 409, "Nobody has begun")
    done(step(warehouse, sent, "scan", told))
    refused(step(owner, sent, "scan", told), 409, "take it up if you go on with it")
    assert done(step(owner, sent, "take-up"))["at_work_by"] == "owner"
    refused(step(owner, sent, "end", {"reason": "left_behind"}), 400, "Say in which place of")
    refused(step(owner, sent, "end", {"reason": "luck"}), 400, "not a valid choice")
    assert done(step(owner, sent, "end", {"reason": "lost"}))["state"] == "arriving"
    row = sent.write_offs.get()
    done(write(warehouse, "post", f"write-offs/{row.pk}/pass/", {}))
    sent.refresh_from_db()
    assert (sent.state, sent.short_reason, str(sent.ended_by)) == ("short", "lost", "warehouse")


@pytest.mark.parametrize("name", ["scan", "arrival", "take-up", "end"])
def test_the_counter_books_nothing_in(name, api, sent):
    refused(step(api("counter"), sent, name), 403)
