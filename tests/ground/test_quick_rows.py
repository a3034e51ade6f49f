"""Instances that are made quickly are those that Django makes."""

from __future__ import annotations

import pytest
from django.db.models import Model
from django.db.models.signals import post_init
from django.test.utils import isolate_apps

from inventory.ground.planned import Planned
from inventory.ground.quick_rows import QuickRows, quick
from inventory.models.maker import Pattern
from inventory.models.sku import Sku
from tests.factories.catalogue import SkuFactory

pytestmark = pytest.mark.django_db


def info(rows):
    compiler = rows.query.get_compiler("default")
    compiler.as_sql()
    return compiler.klass_info


def test_an_instance_has_what_django_gives_it():
    row = SkuFactory()
    names = [field.attname for field in Sku._meta.concrete_fields]
    values = [getattr(row, name) for name in names]
    made, theirs = (each.from_db("default", names, values) for each in (QuickRows(Sku), Sku))
    assert type(made) is Sku
    assert made == theirs
    told = [list(vars(each).items())[1:] for each in (made, theirs)]
    assert told[0] == told[1]
    state = made._state
    assert (state.adding, state.db, state.fields_cache) == (False, "default", {})
    made.code = "OTHER"
    made.save()
    assert Sku.objects.get(pk=row.pk).code == "OTHER"
    assert made.maker == row.maker  # asked for when it is looked at, as ever


def test_of_fewer_columns_the_others_are_left_for_later():
    row = SkuFactory(code="PART-1")
    found = Planned(lambda code: Sku.objects.filter(code=code).only("code"), str)("PART-1")
    assert found[0].get_deferred_fields() == {
        field.attname for field in Sku._meta.concrete_fields if field.attname not in ("id", "code")
    }
    assert found[0].maker == row.maker


def test_what_is_joined_is_made_quickly_too():
    told = quick(info(Sku.objects.with_names()))
    models = [told["model"], *(each["model"] for each in told["related_klass_infos"])]
    assert [type(each) for each in models] == [QuickRows] * 4


def test_rows_that_are_no_models_are_left_as_they_are():
    assert quick(None) is None
    SkuFactory(code="ROW-1")
    found = Planned(lambda code: Sku.objects.filter(code=code).values_list("code", flat=True), str)
    assert found("ROW-1") == ["ROW-1"]


@isolate_apps("inventory")
def test_who_has_a_say_in_how_instances_are_made_is_asked():
    class Own(Pattern):
        class Meta:
            app_label = "inventory"
            proxy = True

        @classmethod
        def from_db(cls, db, field_names, values):
            return super().from_db(db, field_names, values)

    assert quick({"model": Own})["model"] is Own

    def heard(**told):
        pass

    post_init.connect(heard, sender=Pattern)
    try:
        assert quick({"model": Pattern})["model"] is Pattern
    finally:
        post_init.disconnect(heard, sender=Pattern)
    assert isinstance(quick({"model": Pattern})["model"], QuickRows)
    assert issubclass(Pattern, Model)
