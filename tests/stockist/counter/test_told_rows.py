"""Rows that are only told say what the framework's own serializer says of the same fields."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import pytest
from rest_framework import serializers

from stockist.counter.told_rows import Told, ToldOnce


def rows_of(base):
    """The same fields, each kind that answers use, over one base."""

    class Lot(base):
        made_from = serializers.DateField(source="lot.first_day", allow_null=True)
        code = serializers.CharField(source="lot.code")

    class Row(base):
        title = serializers.SerializerMethodField()
        amount = serializers.DecimalField(max_digits=12, decimal_places=2, allow_null=True)
        count = serializers.IntegerField()
        listed = serializers.BooleanField()
        chosen = Lot(many=True)
        first = Lot(allow_null=True)

        def get_title(self, row):
            return f"{row.count} of them"

    return Row


def lot(day):
    return SimpleNamespace(lot=SimpleNamespace(first_day=day, code="L1"))


@pytest.mark.parametrize("base", [Told, ToldOnce])
@pytest.mark.parametrize("amount", [None, Decimal("12.5"), Decimal("0")])
@pytest.mark.parametrize("first", [None, lot(None), lot(date(2026, 3, 1))])
def test_what_is_told_is_what_the_framework_tells(base, amount, first):
    chosen = [lot(None), lot(date(2025, 1, 6))]
    row = SimpleNamespace(amount=amount, count=3, listed=True, chosen=chosen, first=first)
    plain = rows_of(serializers.Serializer)
    assert rows_of(base)(row).data == plain(row).data
    assert rows_of(base)([row, row], many=True).data == plain([row, row], many=True).data


def test_a_value_that_stands_in_many_rows_is_worked_out_once():
    asked = []

    class Row(ToldOnce):
        words = serializers.SerializerMethodField()

        def get_words(self, row):
            asked.append(row)
            return row.words

    one, alike = SimpleNamespace(words="a"), SimpleNamespace(words="a")
    assert Row([one, alike, one], many=True).data == [{"words": "a"}] * 3
    assert asked == [one, alike]
    assert asked[1] is alike


def test_what_is_not_there_is_an_error_and_no_missing_field():
    class Row(Told):
        words = serializers.CharField()

    with pytest.raises(AttributeError, match="words"):
        Row().to_representation(SimpleNamespace())
