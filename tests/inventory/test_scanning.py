"""From a scan to the rows that it names."""

from __future__ import annotations

import pytest

from inventory import scanning
from inventory.markings import SEPARATOR, read_scan
from tests.factories.catalogue import GtinFactory, SkuFactory
from tests.factories.places import PlaceFactory
from tests.factories.stock import LotFactory

pytestmark = pytest.mark.django_db

NUMBER = "09520123456788"


@pytest.fixture
def lot():
    """A lot of a SKU that has an article number."""
    lot = LotFactory(code="LOT-0140", sku=SkuFactory(code="TB-ROAD"))
    GtinFactory(number=NUMBER, skus=[lot.sku])
    return lot


@pytest.mark.parametrize(
    "text",
    [
        "LOT-0140",
        "lot-0140",
        "]d291LOT-0140",
        "91LOT-0140",
        f"]d201{NUMBER}10LOT-0140",
        f"01{NUMBER}10LOT-0140",
        f"(01){NUMBER}(10)LOT-0140",
        f"https://id.example/01/{NUMBER}/10/LOT-0140",
        f"]d201{NUMBER}10LOT-014021S7{SEPARATOR}",
    ],
)
def test_a_lot_by_any_of_its_labels(text, lot):
    assert scanning.lot_in(read_scan(text)) == lot


def test_a_lost_separator_is_made_good_by_the_lots_that_there_are(lot):
    assert scanning.lot_in(read_scan(f"]d201{NUMBER}10LOT-014021X9")) == lot
    longer = LotFactory(code="LOT-014021X9", sku=lot.sku)
    assert scanning.lot_in(read_scan(f"]d201{NUMBER}10LOT-014021X9")) == longer


@pytest.mark.parametrize("text", ["NO", f"]d201{NUMBER}10NO", "]d291NO", NUMBER])
def test_a_lot_that_is_not_named(text, lot):
    assert scanning.lot_in(read_scan(text)) is None


def test_a_makers_lot_number_that_is_ours_of_another_article_is_not_ours(lot):
    other = GtinFactory(skus=[SkuFactory()])
    assert scanning.lot_in(read_scan(f"]d201{other.number}10LOT-0140")) is None


@pytest.mark.parametrize(
    "text",
    [
        *("TB-ROAD", "tb-road", "]d2" + f"01{NUMBER}", "9520123456788", "]E09520123456788"),
        *("]d291LOT-0140", "]d291TB-ROAD", f"https://id.example/01/{NUMBER}"),
    ],
)
def test_a_sku_by_code_by_number_and_by_the_label_of_its_lot(text, lot):
    assert [sku.code for sku in scanning.skus_in(read_scan(text))] == ["TB-ROAD"]


def test_one_number_of_several_skus_names_them_all_and_the_lot_decides():
    road, race = SkuFactory(code="A-ROAD"), SkuFactory(code="B-RACE")
    GtinFactory(number=NUMBER, skus=[road, race])
    LotFactory(code="L7", sku=race)
    assert scanning.skus_in(read_scan(NUMBER)) == [road, race]
    assert scanning.skus_in(read_scan(f"]d201{NUMBER}10L7")) == [race]
    assert scanning.skus_in(read_scan(f"]d201{NUMBER}10X9")) == [road, race]


def test_a_code_of_the_house_goes_before_an_article_number():
    sku = SkuFactory(code="02345673")
    GtinFactory(number="00000002345673", skus=[SkuFactory()])
    assert scanning.skus_in(read_scan("02345673")) == [sku]


@pytest.mark.parametrize("text", ["A-01-2", "a-01-2", "]d1A-01-2", "]d291A-01-2"])
def test_a_place_by_its_label(text, lot):
    place = PlaceFactory(code="A-01-2")
    assert scanning.place_in(read_scan(text)) == place
    assert scanning.place_in(read_scan(NUMBER)) is None
    assert scanning.place_in(read_scan(f"]d201{NUMBER}")) is None


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("LOT-0140", "That is lot LOT-0140 of TB-ROAD."),
        ("A-01-2", "That is place A-01-2."),
        ("TB-ROAD", "That is TB-ROAD."),
        (NUMBER, "That is TB-ROAD."),
        ("02345673", "No SKU has the article number 00000002345673."),
        ("02345674", "after 0234567 the last figure is 3, not 4"),
        ("NOTHING", "Nothing here is called that."),
    ],
)
def test_what_was_scanned_is_told(text, words, lot):
    PlaceFactory(code="A-01-2")
    assert words in scanning.what_it_is(read_scan(text))


def test_many_skus_of_one_number_are_not_all_told():
    GtinFactory(number=NUMBER, skus=[SkuFactory(code=f"S{n}") for n in range(6)])
    assert scanning.what_it_is(read_scan(NUMBER)) == "That is S0 or S1 or S2 or S3 and others."
