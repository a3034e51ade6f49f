"""One search box: what a typed text means."""

from __future__ import annotations

import pytest

from fitments.lookup.span import UnreadableDay, read_span
from inventory.markings import read_size
from stockist.counter.search import LONGEST, Meaning, find
from tests.factories.approvals import ApprovalFactory
from tests.factories.cars import ChassisRangeFactory
from tests.factories.catalogue import GtinFactory, SkuFactory

pytestmark = pytest.mark.django_db
GTIN = "02040000001247"


@pytest.mark.parametrize("text", ["185 70 15", "185/70vr15 89v", "560x15", "155-15", "33 x 5"])
def test_a_size_in_any_form(text):
    found = find(text)
    assert (found.meaning, found.size) == (Meaning.SIZE, read_size(text))


@pytest.mark.parametrize("text", ["TB-CAIRN", "tb-cairn", "  TB-CAIRN "])
def test_a_sku(sku, text):
    assert find(text).skus == (sku,)


@pytest.mark.parametrize("text", [GTIN, "2040000001247", "2 040000 001247"])
def test_a_gtin_which_may_stand_for_several(sku, text):
    other = SkuFactory(code="TB-OTHER")
    GtinFactory(number=GTIN, skus=[sku, other])
    assert find(text).skus == (sku, other)


def test_a_gtin_that_nothing_has(sku):
    found = find(GTIN)
    assert found.meaning is Meaning.NOTHING
    assert "No SKU has the GTIN" in found.words


def test_a_gtin_misread_says_which_figure_it_should_end_on():
    found = find("2040000001248")
    assert found.meaning is Meaning.NOTHING
    assert "7" in found.words


def test_a_mark(sku):
    marked = SkuFactory(marked=True)
    found = find("hlm")
    assert (found.meaning, found.skus) == (Meaning.MARK, (marked,))


def test_a_mark_that_is_approved_and_on_no_tyre():
    ApprovalFactory(mark="QX")
    found = find("QX")
    assert (found.meaning, found.skus) == (Meaning.MARK, ())


def test_a_car_and_when_it_was_built(car):
    found = find("Hallmere saloon, June 1964")
    assert (found.meaning, found.variants) == (Meaning.CARS, (car,))
    assert found.built == read_span("June 1964")


def test_a_chassis_number(car):
    ChassisRangeFactory(variant=car)
    assert find("HS 1234").variants == (car,)


def test_the_name_of_a_tyre(sku):
    assert find("Tarnbeck Cairnway").skus == (sku,)


@pytest.mark.parametrize("text", ["", "   ", "\t"])
def test_nothing_asked(text):
    found = find(text)
    assert (found.meaning, found.words) == (Meaning.NOTHING, "")


def test_nothing_found_says_so():
    found = find("Zzzyx Qwpl")
    assert found.meaning is Meaning.NOTHING
    assert "Zzzyx Qwpl" in found.words


def test_a_size_misread_gets_a_near_one():
    found = find("185/7O R 15 xx")
    assert found.meaning is Meaning.NOTHING
    near = find("1855/70 R 15")
    assert near.meaning is Meaning.NOTHING
    assert near.near == ("185/70 R 15",)


def test_a_day_that_no_calendar_has():
    with pytest.raises(UnreadableDay, match="31 June 1964"):
        find("Hallmere saloon 31 June 1964")


@pytest.mark.parametrize(
    "text", ["x" * 10_000, "タイヤ", "шина 165", "١٦٥", "%_\\", "'; drop table", "\u202e165", "🛞"]
)
def test_odd_texts_find_nothing_and_do_no_harm(text):
    found = find(text)
    assert found.meaning is Meaning.NOTHING
    assert found.words
    assert len(found.text) <= LONGEST
