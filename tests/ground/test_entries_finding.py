"""Rows found by their natural key, and what may be there only once."""

from __future__ import annotations

from datetime import date

import pytest

from inventory.ground.entries.faults import Fault, Faulty
from inventory.ground.entries.finding import Finder, SeveralAlike, fold
from inventory.ground.entries.uniques import unique_faults, uniques_of
from inventory.models.companion import Companion
from inventory.models.customer import Customer, CustomerCar
from inventory.models.maker import Pattern, TyreMaker
from inventory.models.sku import Gtin, Sku
from tests.factories.catalogue import PatternFactory, SkuFactory, TyreMakerFactory
from tests.factories.people import CustomerCarFactory, CustomerFactory

pytestmark = pytest.mark.django_db


def test_parts_of_a_key():
    assert fold(" Tarn ") == "TARN"
    assert fold(None) is None
    assert fold(date(2026, 1, 1)) == date(2026, 1, 1)
    assert fold(Sku(pk=7)) == 7


def test_a_row_is_found_whatever_the_capitals():
    maker = TyreMakerFactory(code="Tarn")
    finder = Finder(TyreMaker, ("code",))
    assert finder.find([finder.key_of({"code": "tARN"}), ("NONE",)]) == {("TARN",): maker}


def test_a_key_of_several_parts():
    pattern = PatternFactory(name="Cairnway")
    PatternFactory(name="Cairnway")
    finder = Finder(Pattern, ("name", "maker"))
    key = finder.key_of({"name": "CAIRNWAY", "maker": pattern.maker})
    assert finder.find([key]) == {key: pattern}


def test_a_key_that_begins_with_another_row():
    car = CustomerCarFactory(description="Sprint")
    CustomerCarFactory(description="Sprint")
    finder = Finder(CustomerCar, ("customer", "description"))
    key = finder.key_of({"customer": car.customer, "description": "sprint"})
    assert finder.find([key]) == {key: car}


def test_a_part_that_is_not_given_is_its_default():
    finder = Finder(Companion, ("companion", "tyre", "size_key", "rim_kind", "valve"))
    assert finder.key_of({"companion": Sku(pk=3)}) == (3, None, "", "", "")


def test_a_key_of_several_rows_is_refused_or_collected():
    CustomerFactory(name="Orrin Tasker")
    CustomerFactory(name="ORRIN TASKER")
    finder = Finder(Customer, ("name",))
    with pytest.raises(SeveralAlike, match="several customers “ORRIN TASKER”: give them names"):
        finder.find([("ORRIN TASKER",)])
    several = set()
    finder.find([("ORRIN TASKER",)], several=several)
    assert several == {("ORRIN TASKER",)}


def test_many_keys_cost_one_query(django_assert_num_queries):
    makers = TyreMakerFactory.create_batch(30)
    finder = Finder(TyreMaker, ("code",))
    with django_assert_num_queries(1):
        assert len(finder.find([(maker.code,) for maker in makers])) == 30


def test_what_a_model_allows_once():
    told = {(once.fields, once.folded) for once in uniques_of(Pattern)}
    assert told == {(("maker", "name"), frozenset({"name"}))}
    (gtin,) = uniques_of(Gtin)
    assert gtin.sentence == "A GTIN of this GTIN is there already."
    (companion,) = uniques_of(Companion)
    assert companion.nulls_alike


def words(rows):
    return [(position, fault.words) for position, fault in unique_faults(rows)]


def test_a_row_that_is_there_already_is_told_by_its_position():
    held = PatternFactory(name="Cairnway")
    rows = [Pattern(maker=held.maker, name="Fell"), Pattern(maker=held.maker, name="cairnWAY")]
    assert words(rows) == [(1, "This maker has a pattern of this name already.")]


def test_the_same_name_of_another_maker_is_another():
    PatternFactory(name="Cairnway")
    assert words([Pattern(maker=TyreMakerFactory(), name="Cairnway")]) == []


def test_rows_that_are_alike_among_themselves():
    maker = TyreMakerFactory()
    rows = [
        Pattern(maker=maker, name="A"),
        Pattern(maker=maker, name="B"),
        Pattern(maker=maker, name="a"),
    ]
    assert [position for position, _ in words(rows)] == [2]


def test_a_row_does_not_stand_in_its_own_way():
    held = PatternFactory(name="Cairnway")
    assert words([held]) == []


def test_a_name_that_is_being_given_up_is_free():
    held = PatternFactory(name="Cairnway")
    held.name = "Fell"
    assert words([held, Pattern(maker=held.maker, name="Cairnway")]) == []


def test_nulls_are_alike_where_the_constraint_says_so():
    tube = SkuFactory()
    Companion.objects.create(companion=tube, size_key="5.60-15 D")
    again = Companion(companion=tube, size_key="5.60-15 D")
    assert words([again]) == [(0, "This companion is there already for this rim and valve.")]


def test_a_condition_of_the_constraint_is_heeded():
    from fitments.models.car import WheelOption
    from tests.factories.cars import VariantFactory

    variant = VariantFactory()
    one = WheelOption(variant=variant, name="a", axle="front", standard=True)
    other = WheelOption(variant=variant, name="b", axle="front", standard=False)
    third = WheelOption(variant=variant, name="c", axle="front", standard=True)
    assert words([one, other, third]) == [(2, "Only one wheel an axle is the listed one.")]


def test_nothing_asked_nothing_told(django_assert_num_queries):
    with django_assert_num_queries(0):
        assert words([]) == []


def test_faults_as_one_refusal():
    refusal = Faulty([Fault("", "One."), Fault("name", "Two."), Fault("code", "Two.")])
    assert str(refusal) == "One. Two."
    assert refusal.field == "name"
    assert refusal.status == 422
