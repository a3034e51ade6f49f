"""Scans of every kind on the pages of the warehouse."""

from __future__ import annotations

import pytest

from inventory.markings import SEPARATOR
from inventory.models.balance import Balance
from inventory.models.transfer import Transfer
from stockist.goods_in.loads import said_by_line
from stockist.goods_in.scans import not_wanted
from tests.factories.buying import delivery_of, sent_order
from tests.factories.catalogue import GtinFactory, SkuFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.stock import LotFactory, stock_in

pytestmark = pytest.mark.django_db

NUMBER = "09520123456788"


@pytest.fixture
def warehouse(signed_in, warehouse_person):
    return signed_in(warehouse_person)


@pytest.fixture
def waiting():
    """Four tyres of one lot in goods in, of a SKU with an article number; a rack beside."""
    site = SiteFactory(code="FEN")
    PlaceFactory(site=site, code="A-01")
    sku = SkuFactory(code="TB-ROAD")
    GtinFactory(number=NUMBER, skus=[sku])
    lot = LotFactory(sku=sku, code="D-00001-01")
    return stock_in(lot=lot, place=PlaceFactory(site=site, code="IN-1", goods_in=True))


def put(client, lot, target="A-01"):
    told = {"lot": lot, "target": target, "idempotency_key": "k"}
    return client.post("/goods-in/put-away/", told)


@pytest.mark.parametrize(
    "label",
    [
        f"]d201{NUMBER}10D-00001-01",
        f"01{NUMBER}10D-00001-01{SEPARATOR}21S1",
        "]d291D-00001-01",
        "TB-ROAD",
        NUMBER,
    ],
)
def test_a_lot_is_put_away_by_whatever_label_it_has(label, warehouse, waiting):
    assert put(warehouse, label).status_code == 302
    assert Balance.objects.get(on_hand__gt=0).place.code == "A-01"


def test_where_two_lots_wait_the_label_of_the_sku_does_not_tell_which(warehouse, waiting):
    stock_in(lot=LotFactory(sku=waiting.lot.sku, code="D-00001-02"), place=waiting.place)
    page = put(warehouse, NUMBER).content.decode()
    assert "Several lots of it are here (D-00001-01, D-00001-02): scan the label" in page


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("]d2010952012345", "14 figures of (01) was expected. The label of a place is wanted."),
        ("D-00001-01", "That is lot D-00001-01 of TB-ROAD."),
        (f"01{NUMBER}10D-00001-01{SEPARATOR}21S1", "10D-00001-01 21S1” was read, and the label"),
        ("9520123456787", "the last figure is 8, not 7"),
    ],
)
def test_what_was_scanned_and_what_was_wanted(text, words, waiting):
    assert words in not_wanted(text, "the label of a place")


def test_a_tyre_is_read_in_by_any_label(warehouse, warehouse_person, waiting):
    order = sent_order(6, skus=[waiting.lot.sku])
    delivery = delivery_of(order, by=warehouse_person)
    path = f"/goods-in/deliveries/{delivery.pk}/"
    for label in (f"]d201{NUMBER}21S1", f"(01){NUMBER}", f"https://x.example/01/{NUMBER}"):
        page = warehouse.get(path, {"sku": label}).content.decode()
        assert 'name="date_code"' in page
    said = {"sku": "TB-ROAD", "date_code": f"]d201{NUMBER}", "idempotency_key": "k"}
    answer = warehouse.post(f"{path}lines/", said)
    assert answer.status_code == 302
    assert delivery.lines.count() == 0


def test_a_number_of_several_skus_asks_which(warehouse, warehouse_person, waiting):
    other = SkuFactory(code="TB-RACE")
    other.gtins.add(waiting.lot.sku.gtins.get())
    delivery = delivery_of(by=warehouse_person)
    page = warehouse.get(f"/goods-in/deliveries/{delivery.pk}/", {"sku": f"]d201{NUMBER}"})
    text = page.content.decode()
    assert "This GTIN stands for several. Which is it?" in text
    assert "?sku=TB-RACE" in text


def test_loads_are_scanned_one_thing_a_line(warehouse, waiting):
    PlaceFactory(site=waiting.place.site, in_transit=True)
    label = f"01{NUMBER}10D-00001-01{SEPARATOR}21S1"
    said = {
        "from_site": waiting.place.site_id, "to_site": SiteFactory().pk, "idempotency_key": "s",
        "loads": f"{label}\r\nIN-1\r\n2\r\n",
    }  # fmt: skip
    assert warehouse.post("/goods-in/transfers/send/", said).status_code == 302
    assert Transfer.objects.get().lines.get().quantity == 2


def test_lines_are_told_from_scans():
    assert said_by_line("A B 1\nC D 2") == [["A", "B", "1"], ["C", "D", "2"]]
    assert said_by_line("A\nB\n1\nC\nD\n") == [["A", "B", "1"], ["C", "D"]]
    assert said_by_line(f"A{SEPARATOR}A  B\t1 ") == [[f"A{SEPARATOR}A", "B", "1"]]
    assert said_by_line("A") == [["A"]]


def test_a_number_that_no_stockist_has_is_refused_in_words(warehouse, waiting):
    PlaceFactory(site=waiting.place.site, in_transit=True)
    said = {
        "from_site": waiting.place.site_id, "to_site": SiteFactory().pk, "idempotency_key": "s",
        "loads": f"D-00001-01 IN-1 {'9' * 5000}",
    }  # fmt: skip
    page = warehouse.post("/goods-in/transfers/send/", said)
    assert page.status_code == 400
    assert "a lot, a place and a number are wanted" in page.content.decode()
