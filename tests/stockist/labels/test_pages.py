"""The pages of labels and of the scanner's set-up, and labels over the API."""

from __future__ import annotations

import pytest

from inventory.markings import read_scan
from tests.factories.places import PlaceFactory
from tests.factories.stock import LotFactory, stock_in
from tests.support.symbols import pages_of, read_symbol

pytestmark = pytest.mark.django_db


@pytest.fixture
def balance():
    lot = LotFactory(code="LOT-0140", delivery="D-00012")
    return stock_in(lot=lot, place=PlaceFactory(code="A-01-2"), on_hand=2)


@pytest.fixture
def warehouse(signed_in):
    return signed_in("warehouse")


def asked(client, status=200, **said):
    told = {"of": "lots", "each": "tyre", "size": "100x50", **said}
    answer = client.get("/labels/", told)
    assert answer.status_code == status, answer.content.decode()[:2000]
    return answer


def test_the_page_asks_what_is_wanted(warehouse):
    page = warehouse.get("/labels/", {"delivery": "D-00012"}).content.decode()
    assert "Which labels are wanted?" in page
    assert 'value="D-00012"' in page


@pytest.mark.parametrize(
    ("said", "count", "read"),
    [
        ({"scans": "lot-0140"}, 2, "]d291LOT-0140"),
        ({"scans": "]d291LOT-0140", "each": "lot"}, 1, "]d291LOT-0140"),
        ({"scans": "A-01-2"}, 2, "]d291LOT-0140"),
        ({"delivery": "d-00012", "size": "70x40"}, 2, "]d291LOT-0140"),
        ({"of": "places", "scans": "A-01-2\n\n"}, 1, "]d1A-01-2"),
    ],
)
def test_labels_are_printed_of_what_was_scanned(said, count, read, warehouse, balance):
    answer = asked(warehouse, **said)
    assert answer["Content-Type"] == "application/pdf"
    pages = pages_of(answer.content)
    assert [read_symbol(page) for page in pages] == [read] * count


def test_all_places_of_a_site(warehouse, balance):
    PlaceFactory(site=balance.place.site)
    PlaceFactory()
    answer = asked(warehouse, of="places", site=balance.place.site_id)
    assert len(pages_of(answer.content)) == 2


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"scans": "LOT-0140\nNO"}, "Line 2: “NO” was read, and the label of a lot or a place"),
        ({}, "There is nothing to print"),
        ({"scans": "x\n" * 101}, "101 lines at once"),
        ({"size": "1x1"}, "Select a valid choice"),
    ],
)
def test_what_cannot_be_printed_is_told(said, words, warehouse, balance):
    assert words in asked(warehouse, 400, **said).content.decode()


def test_the_set_up_page_shows_a_symbol_and_what_arrived(warehouse):
    page = warehouse.get("/labels/scanner/").content.decode()
    assert "<svg" in page
    sent = "]d2010952012345678810Y7-zA_+/?\x1d21Test=1"
    assert read_scan(sent).lot == "Y7-zA_+/?"
    page = warehouse.get("/labels/scanner/", {"arrived": sent}).content.decode()
    assert "separator (GS)" in page
    assert "data-sound" not in page
    page = warehouse.get("/labels/scanner/", {"arrived": sent.replace("\x1d", "")})
    assert "It was lost." in page.content.decode()
    assert 'data-sound="wrong"' in page.content.decode()
    page = warehouse.get("/labels/scanner/", {"arrived": "]d299"}).content.decode()
    assert "cannot be read" in page


def test_labels_over_the_api(api, balance):
    client = api("warehouse")
    path = "/api/v1/labels/lots/"
    answer = client.get(path, {"lot": [balance.lot_id], "each": "lot"})
    assert (answer.status_code, answer["Content-Type"]) == (200, "application/pdf")
    assert [read_symbol(page) for page in pages_of(answer.content)] == ["]d291LOT-0140"]
    answer = client.get("/api/v1/labels/places/", {"place": [balance.place_id]})
    assert [read_symbol(page) for page in pages_of(answer.content)] == ["]d1A-01-2"]
    assert client.get(path).status_code == 400
    assert client.get(path, {"lot": [0]}).status_code == 400
    assert client.get(path, {"lot": [balance.lot_id], "colour": "red"}).status_code == 400
    nowhere = stock_in(on_hand=600)
    told = client.get(path, {"lot": [nowhere.lot_id]})
    assert (told.status_code, told.json()["detail"][:20]) == (400, "600 labels at once: ")


@pytest.mark.parametrize("path", ["/labels/", "/labels/scanner/"])
def test_nobody_prints_without_signing_in(path, client):
    assert client.get(path).status_code == 302


@pytest.mark.parametrize("path", ["lots/?lot=1", "places/?place=1"])
def test_nobody_asks_the_api_without_signing_in(path, api):
    assert api().get(f"/api/v1/labels/{path}").status_code == 401
