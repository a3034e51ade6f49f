"""Labels: what each says, and that its symbol is read back from the page as it is printed."""

from __future__ import annotations

import pytest

from inventory import scanning
from inventory.documents.choosing import NoLabels, TooManyLabels, lot_labels, place_labels
from inventory.documents.drawing import drawn
from inventory.documents.labels import lot_label, place_label
from inventory.documents.values import Label, LabelSize
from inventory.markings import read_scan
from inventory.models.lot import Lot
from inventory.models.place import Place
from tests.factories.catalogue import GtinFactory, SkuFactory
from tests.factories.people import CustomerFactory
from tests.factories.places import PlaceFactory
from tests.factories.stock import LotFactory, stock_in
from tests.support.symbols import pages_of, read_symbol

pytestmark = pytest.mark.django_db

NUMBER = "09520123456788"


@pytest.fixture
def balance():
    sku = SkuFactory(code="TB-ROAD", size_text="165 R 15 86H")
    GtinFactory(number=NUMBER, skus=[sku])
    return stock_in(lot=LotFactory(sku=sku, code="LOT-0140"), place=PlaceFactory(code="A-01-2"))


def the_lot(balance):
    return Lot.objects.filter(pk=balance.lot_id)


def test_what_is_printed_names_the_lot_when_it_is_scanned(balance):
    labels = lot_labels(the_lot(balance), a_tyre=False)
    for size in LabelSize:
        (page,) = pages_of(drawn(labels, size))
        said = read_symbol(page)
        assert said == f"]d201{NUMBER}10LOT-0140"
        assert scanning.lot_in(read_scan(said)) == balance.lot


def test_the_words_of_a_label(balance):
    (label,) = lot_labels(the_lot(balance), a_tyre=False)
    assert label.title == "165 R 15 86H"
    assert label.foot == "A-01-2"
    assert label.code == f"(01){NUMBER}(10)LOT-0140"
    assert read_scan(label.code).elements == label.elements
    assert label.lines[0] == "TB-ROAD"
    assert f"date code {balance.lot.date_code}" in label.lines


def test_without_an_article_number_our_own_code_stands_alone():
    lot = LotFactory(code="LOT-7", date_code="", delivery="D-00009")
    label = lot_label(lot)
    assert label.elements == (("91", "LOT-7"),)
    assert "no date code, delivery D-00009" in label.lines
    (page,) = pages_of(drawn([label]))
    assert scanning.lot_in(read_scan(read_symbol(page))) == lot


def test_a_code_that_gs1_data_cannot_hold_stands_in_a_plain_symbol():
    lot = LotFactory(code="LOT 7 Ä")
    label = lot_label(lot, number=NUMBER)
    assert (label.elements, label.plain, label.code) == ((), "LOT 7 Ä", "LOT 7 Ä")
    (page,) = pages_of(drawn([label]))
    assert scanning.lot_in(read_scan(read_symbol(page))) == lot


def test_a_code_that_no_symbol_holds_is_printed_in_words_alone():
    pdf = drawn([Label("Ł-1", ("one",), "", "Ł-1", plain="Ł-1")])
    assert pdf.startswith(b"%PDF-")
    with pytest.raises(ValueError, match="zip"):
        pages_of(pdf)


def test_tyres_of_others_and_used_ones_are_told():
    stored = LotFactory(owner="customer", owner_customer=CustomerFactory())
    assert f"STORED for customer {stored.owner_customer_id}" in lot_label(stored).lines
    buffed = LotFactory(condition="buffed", buffed_to_mm="4.5")
    assert "buffed to 4.5 mm" in lot_label(buffed).lines


def test_a_place_is_read_back(balance):
    label = place_label(balance.place)
    (page,) = pages_of(drawn([label]))
    said = read_symbol(page)
    assert said == "]d1A-01-2"
    assert scanning.place_in(read_scan(said)) == balance.place


def test_one_for_each_tyre_or_one_for_each_place(balance):
    stock_in(lot=balance.lot, place=PlaceFactory(code="Z-09"), on_hand=3)
    each = lot_labels(the_lot(balance), a_tyre=True)
    assert sorted(label.foot for label in each) == ["A-01-2"] * 4 + ["Z-09"] * 3
    assert len(lot_labels(the_lot(balance), a_tyre=False)) == 2
    pages = pages_of(drawn(each))
    assert len(pages) == 7


def test_a_lot_that_lies_nowhere_has_a_label_without_a_place():
    lot = LotFactory()
    (label,) = lot_labels(Lot.objects.filter(pk=lot.pk), a_tyre=True)
    assert label.foot == ""


def test_nothing_and_too_much_are_refused(balance):
    stock_in(lot=balance.lot, place=PlaceFactory(), on_hand=500)
    with pytest.raises(TooManyLabels, match="504 labels at once"):
        lot_labels(the_lot(balance), a_tyre=True)
    with pytest.raises(NoLabels):
        place_labels(Place.objects.none())


def test_the_same_labels_are_the_same_bytes(balance):
    labels = lot_labels(the_lot(balance), a_tyre=False)
    assert drawn(labels) == drawn(labels)


def test_queries_do_not_grow_with_the_labels(balance, same_queries):
    pinned = same_queries(
        lambda: lot_labels(Lot.objects.all(), a_tyre=False),
        lambda: [stock_in() for _ in range(3)],
    )
    assert pinned == 3


def test_long_words_are_set_smaller_and_never_run_out_of_the_label():
    long = Label(
        "315/1000-15 and more and more of it", ("x" * 400,), "PLACE-" * 9, "c" * 300, plain="A"
    )
    assert len(pages_of(drawn([long], LabelSize.SMALL))) == 1
