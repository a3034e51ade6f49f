"""Which variant do these words mean?"""

from __future__ import annotations

import pytest

from fitments.lookup.finding import variants_called, variants_with_chassis
from fitments.lookup.span import read_span
from tests.factories.cars import ChassisRangeFactory, VariantFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def saloon():
    return VariantFactory(code="A-1", search="hallmere sprint 1600 saloon")


@pytest.fixture
def tourer():
    return VariantFactory(code="A-2", search="bellaire eclair tourer")


def test_every_word_must_be_there_in_any_order(saloon, tourer):
    assert variants_called("saloon Hallmere", None) == (saloon,)
    assert variants_called("ECLAIR tour", None) == (tourer,)


def test_accents_do_not_matter(tourer):
    assert variants_called("Éclair", None) == (tourer,)


def test_a_name_typed_wrong_finds_the_nearest(saloon, tourer):
    assert variants_called("halmere sprnt", None) == (saloon,)


def test_nothing_alike_finds_nothing(saloon):
    assert variants_called("zzzz qqqq", None) == ()
    assert variants_called("   ", None) == ()


def test_the_time_narrows_unless_it_leaves_none(saloon):
    assert variants_called("hallmere sprint", read_span("1990")) == (saloon,)
    later = VariantFactory(
        code="A-3", search="hallmere sprint 1600 saloon", built_from=None, built_to=None
    )
    assert variants_called("hallmere sprint", read_span("1990")) == (later,)


@pytest.mark.parametrize("text", ["HS 100", "hs2500", "HS/1234", "chassis HS-1234"])
def test_a_chassis_number_in_the_range(saloon, text):
    ChassisRangeFactory(variant=saloon)
    assert variants_with_chassis(text) == (saloon,)


@pytest.mark.parametrize("text", ["HS 99", "HS 2501", "HT 1234", "1234", "HS", "", "HS 12 34"])
def test_one_outside_it(saloon, text):
    ChassisRangeFactory(variant=saloon)
    assert variants_with_chassis(text) == ()
