"""Rows that are only told say what the framework's own serializer says of the same fields."""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import pytest
from rest_framework import serializers
from rest_framework.renderers import JSONRenderer

from stockist.counter.told_rows import Told, ToldOnce, WrittenRenderer, written


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


def rows_in(kind):
    class Answer(Told):
        rows = kind(many=True)

    return Answer


def lot(day, code="L1"):
    return SimpleNamespace(lot=SimpleNamespace(first_day=day, code=code))


def framework_writes(serializer):
    return JSONRenderer().render(serializer.data)


def as_written(kind, value):
    return WrittenRenderer().render(written(kind, value))


@pytest.mark.parametrize("base", [Told, ToldOnce])
@pytest.mark.parametrize("amount", [None, Decimal("12.5"), Decimal("0")])
@pytest.mark.parametrize("first", [None, lot(None), lot(date(2026, 3, 1))])
def test_what_is_written_is_what_the_framework_writes(base, amount, first):
    chosen = [lot(None), lot(date(2025, 1, 6)), lot(None, 'a "b"\\ \u2028 5.00×15 £\n')]
    row = SimpleNamespace(amount=amount, count=3, listed=True, chosen=chosen, first=first)
    plain = rows_of(serializers.Serializer)
    assert as_written(rows_of(base), row) == framework_writes(plain(row))
    both = SimpleNamespace(rows=[row, row])
    assert as_written(rows_in(rows_of(base)), both) == framework_writes(rows_in(plain)(both))
    nothing = SimpleNamespace(rows=[])
    assert as_written(rows_in(rows_of(base)), nothing) == b'{"rows":[]}'


def test_a_value_that_stands_in_many_rows_is_written_once():
    asked = []

    class Row(ToldOnce):
        words = serializers.SerializerMethodField()

        def get_words(self, row):
            asked.append(row)
            return row.words

    one, alike = SimpleNamespace(words="a"), SimpleNamespace(words="a")
    rows = written(rows_in(Row), SimpleNamespace(rows=[one, alike, one]))
    assert json.loads(rows.text) == {"rows": [{"words": "a"}] * 3}
    assert asked == [one, alike]
    assert asked[1] is alike
    written(rows_in(Row), SimpleNamespace(rows=[one]))
    assert len(asked) == 3  # another answer, another time


def test_what_is_not_there_is_an_error_and_no_missing_field():
    class Row(Told):
        words = serializers.CharField()

    with pytest.raises(AttributeError, match="words"):
        written(Row, SimpleNamespace())


def test_with_indents_where_they_are_asked_for():
    class Row(Told):
        words = serializers.CharField()

    row = SimpleNamespace(words="ä")
    asked = "application/json; indent=2"
    told = WrittenRenderer().render(written(Row, row), asked)
    assert told == JSONRenderer().render(Row(row).data, asked) == '{\n  "words": "ä"\n}'.encode()
    assert WrittenRenderer().render({"words": "ä"}) == '{"words":"ä"}'.encode()
