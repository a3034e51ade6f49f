"""Vans over the API: taken out, loaded, unloaded, each safe to repeat; bad input in words."""

from __future__ import annotations

import pytest

from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.stock import stock_in
from tests.support.calling import read, refused, write

pytestmark = pytest.mark.django_db


@pytest.fixture
def lies():
    """Six tyres in a rack of home, which has a place in transit."""
    balance = stock_in(on_hand=6)
    PlaceFactory(site=balance.place.site, in_transit=True)
    return balance


@pytest.fixture
def rack():
    return PlaceFactory(site=SiteFactory(van=True))


@pytest.fixture
def out(api, lies, rack):
    told = {"van": rack.site_id, "home": lies.place.site_id, "meeting": "Harrowmere"}
    answer = write(api("warehouse"), "post", "outings/", {**told, "day": "2026-12-01"})
    assert answer.status_code == 201, answer.content
    return answer.json()


def step(client, out, name, told, **options):
    return write(client, "post", f"outings/{out['id']}/{name}/", told, **options)


def load_of(lies, rack, quantity):
    loads = [{"lot": lies.lot_id, "source": lies.place_id, "quantity": quantity}]
    return {"into": rack.pk, "loads": loads}


def done(answer):
    assert answer.status_code == 200, answer.content
    return answer.json()


def test_loaded_and_unloaded_once_however_often_it_is_sent(api, lies, rack, out):
    warehouse = api("warehouse")
    assert out["number"].startswith("V-")
    for _ in range(2):
        done(step(warehouse, out, "load", load_of(lies, rack, 4), key="k"))
    (stands,) = read(warehouse, f"outings/{out['id']}/standing/")
    assert (stands["loaded"], stands["sold"], stands["left"]) == (4, 0, 4)
    came = [{"lot": lies.lot_id, "quantity": 1}, {"lot": lies.lot_id, "quantity": 2}]
    back = {"into": lies.place_id, "came": came}
    first, second = (done(step(warehouse, out, "unload", back, key="u")) for _ in range(2))
    assert first == second
    assert first["ended_by"] == "warehouse"
    (stands,) = read(warehouse, f"outings/{out['id']}/standing/")
    assert (stands["back"], stands["arrived"], stands["to_come"]) == (4, 3, 1)
    refused(step(warehouse, out, "unload", back), 409, "has ended")
    (sent,) = read(warehouse, "transfers/", outing=out["id"], state="arriving")["results"]
    assert sent["outing"] == out["id"]
    assert read(warehouse, "outings/", out="true")["results"] == []


@pytest.mark.parametrize(
    ("quantity", "status", "words"),
    [
        (0, 400, "0 tyres cannot be booked"),
        (-1, 400, "-1 tyres cannot be booked"),
        (2.5, 400, "valid integer"),
        (10**9, 400, "1,000,000,000 tyres are more"),
        (7, 409, "7 were asked for"),
    ],
)
def test_loads_that_cannot_be(quantity, status, words, api, lies, rack, out):
    refused(step(api("warehouse"), out, "load", load_of(lies, rack, quantity)), status, words)


def test_places_and_vans_that_cannot_be(api, lies, rack, out):
    warehouse = api("warehouse")
    load = load_of(lies, rack, 1)
    refused(step(warehouse, out, "load", {**load, "into": lies.place_id}), 400, "name a rack of")
    done(step(warehouse, out, "load", load))
    refused(step(warehouse, out, "unload", {"into": rack.pk}), 400, "name a rack")
    refused(step(warehouse, out, "unload", {}), 400, "Say into which place of")
    told = {"home": lies.place.site_id, "meeting": "X", "day": "2026-12-01"}
    refused(write(warehouse, "post", "outings/", {**told, "van": rack.site_id}), 409, "is out")
    refused(
        write(warehouse, "post", "outings/", {**told, "van": lies.place.site_id}), 400, "no van"
    )
    refused(step(api("counter"), out, "load", load), 403)
    refused(step(api("counter"), out, "unload", {}), 403)
