"""Statements that are built once: the rows of the queryset itself, whatever is asked."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from django.db import connection
from django.db.models import F, Value
from django.db.models.functions import Abs

from inventory.ground.planned import Planned
from inventory.models.lot import Lot
from inventory.models.posting import Posting
from inventory.models.sku import Sku
from tests.factories.catalogue import SkuFactory
from tests.factories.stock import LotFactory, stock_in
from tests.support.counting import queries_of

pytestmark = pytest.mark.django_db


def plain(row):
    """All that a model was loaded with, and what was joined to it."""
    joined = {name: plain(each) if each else None for name, each in row._state.fields_cache.items()}
    return {name: value for name, value in vars(row).items() if name != "_state"}, joined


def test_models_with_what_is_joined_to_them():
    def asked(code):
        return Sku.objects.with_names().filter(code__iexact=code).order_by("code")

    SkuFactory(code="ONE-1")
    SkuFactory(code="TWO-2")
    planned = Planned(asked, str)
    for code in ("one-1", "TWO-2", "none", "%"):
        assert list(map(plain, planned(code))) == list(map(plain, asked(code)))
    assert queries_of(lambda: planned("ONE-1")[0].maker.name) == 1
    assert planned("ONE-1")[0]._state.adding is False


def test_several_values_are_one_parameter():
    def asked(keys, numbers):
        alike = Sku.objects.of_size(keys).values("pk")  # the same values in two places
        rows = Sku.objects.of_size(keys).filter(pk__in=alike).exclude(pk__in=numbers)
        return rows.order_by("code").values_list("pk", flat=True)

    one, two, three = SkuFactory(), SkuFactory(), SkuFactory()
    planned = Planned(asked, [str], [int])
    for keys in ([], one.size_keys, [*one.size_keys, "none"]):
        for numbers in ([], [two.pk], [one.pk, three.pk]):
            assert planned(keys, numbers) == list(asked(keys, numbers))
    assert planned(one.size_keys, [0]) == [one.pk, two.pk, three.pk]


def test_values_of_every_kind_in_filters_and_expressions():
    def asked(day, at, middle):
        rows = Lot.objects.filter(received_on__lte=day, lines__posting__at__lte=at)
        far = Abs(F("pk") - Value(middle))
        return rows.annotate(far=far).order_by("far", "pk").values_list("code", "far", named=True)

    moment = datetime(2026, 3, 1, 9, tzinfo=UTC)
    stock_in(lot=LotFactory(code="A", received_on=date(2026, 2, 1)), at=moment)
    stock_in(lot=LotFactory(code="B", received_on=date(2026, 2, 2)), at=moment)
    planned = Planned(asked, date, datetime, Decimal)
    last = Lot.objects.latest("pk").pk
    for day, at, middle in (
        (date(2026, 2, 1), moment, 0), (date(2026, 3, 1), moment, last),
        (date(2026, 3, 1), datetime(2026, 3, 1, 8, tzinfo=UTC), 0), (date(2026, 3, 1), moment, 0),
    ):  # fmt: skip
        found = planned(day, at, Decimal(middle))
        assert found == list(asked(day, at, Decimal(middle)))
    assert [row.code for row in found] == ["A", "B"]


def test_built_once_and_prepared():
    built = []

    def asked(document):
        built.append(document)
        return Posting.objects.filter(document=document).order_by("pk")

    planned = Planned(asked, str)
    assert [planned(text) for text in ("a", "b", "'; --")] == [[], [], []]
    assert len(built) == 1
    with connection.cursor() as cursor:
        cursor.execute("SELECT statement FROM pg_prepared_statements")
        assert any("document" in statement for (statement,) in cursor.fetchall())


def test_a_value_without_a_place_is_a_fault():
    with pytest.raises(ValueError, match="no place for value 1"):
        Planned(lambda code, _: Sku.objects.filter(code=code), str, int)("A", 1)
    with pytest.raises(ValueError, match="stand in IN"):
        Planned(lambda codes: Sku.objects.filter(code=codes[0]), [str])(["A"])
    with pytest.raises(ValueError, match="prefetched"):
        Planned(lambda code: Sku.objects.filter(code=code).prefetch_related("gtins"), str)("A")
