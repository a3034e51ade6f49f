"""What the search box reads of a variant."""

from __future__ import annotations

import pytest

from fitments.activities.searching import refresh_search
from fitments.lookup.finding import plain
from fitments.models.car import Variant
from tests.factories.cars import CarMakerFactory, VariantFactory, VehicleLineFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def cars():
    """Two makers, a range each, two variants each."""
    made = []
    for maker in ("Hällmere", "Ellerby"):
        line = VehicleLineFactory(name="Sprint", maker=CarMakerFactory(name=maker))
        made += [VariantFactory(vehicle_line=line, name=name, body="") for name in ("1.6", "2.0")]
    Variant.objects.update(search="old")
    return made


def searched():
    return list(Variant.objects.order_by("pk").values_list("search", flat=True))


def test_one_variant(cars):
    refresh_search(variants=[cars[1].pk])
    assert searched() == ["old", "hallmere sprint 2.0", "old", "old"]


def test_all_of_a_range(cars):
    refresh_search(vehicle_lines=[cars[0].vehicle_line_id])
    assert searched() == ["hallmere sprint 1.6", "hallmere sprint 2.0", "old", "old"]


def test_all_of_a_maker(cars):
    refresh_search(makers=[cars[2].vehicle_line.maker_id])
    assert searched() == ["old", "old", "ellerby sprint 1.6", "ellerby sprint 2.0"]


def test_several_at_once(cars):
    refresh_search(variants=[cars[0].pk], makers=[cars[2].vehicle_line.maker_id])
    assert searched().count("old") == 1


def test_nothing_asked_is_no_statement(cars, django_assert_num_queries):
    with django_assert_num_queries(0):
        refresh_search()


def test_one_statement_whatever_the_number(cars, django_assert_num_queries):
    with django_assert_num_queries(1):
        refresh_search(variants=[car.pk for car in cars])


@pytest.mark.parametrize(
    "words", ["Straße", "Ørsted Ålesund", "ÉTOILE", "Šumava", "Łódź", "日本", "1.6 «S»"]
)
def test_it_is_what_the_search_box_makes_of_the_same_words(words):
    variant = VariantFactory(name=words, body="Coupé")
    refresh_search(variants=[variant.pk])
    variant.refresh_from_db()
    line = variant.vehicle_line
    assert variant.search == plain(f"{line.maker.name} {line.name} {words} Coupé")


def test_the_longest_names_fit():
    line = VehicleLineFactory(name="ß" * 120, maker=CarMakerFactory(name="ß" * 120))
    variant = VariantFactory(vehicle_line=line, name="ß" * 120, body="ß" * 40, search="")
    refresh_search(variants=[variant.pk])
    variant.refresh_from_db()
    assert len(variant.search) == 300
