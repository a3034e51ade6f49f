"""Check constraints judged in Python, against PostgreSQL itself as the reference."""

from __future__ import annotations

import random
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.apps import apps
from django.contrib.postgres.fields import RangeField
from django.db import connection, models
from django.db.models import CheckConstraint, F, Func, Q

from inventory.ground.entries.rules import broken_rules, holds
from inventory.models.companion import Companion
from inventory.models.maker import Compound, Pattern
from inventory.models.place import Place
from inventory.models.sku import Sku, SkuKind


def names(condition):
    """The fields that a condition speaks of, on either side."""
    for child in condition.children:
        if isinstance(child, Q):
            yield from names(child)
        elif isinstance(child, tuple):
            yield child[0].partition("__")[0]
            if isinstance(child[1], F):
                yield child[1].name


def of_ranges(model, rule):
    """A rule on a range of time: the database judges it alone."""
    fields = [model._meta.get_field(name) for name in names(rule.condition) if name != "pk"]
    return any(isinstance(field, RangeField) for field in fields)


# What is reckoned from columns is judged by the database alone.
RECKONED = {
    *("purchase_line_is_not_filled_beyond_its_quantity", "terms_least_is_whole_packs"),
    "transfer_line_brings_no_more_than_was_sent",
}
RULES = [
    pytest.param(model, rule, id=rule.name)
    for label in ("inventory", "fitments")
    for model in apps.get_app_config(label).get_models()
    for rule in model._meta.constraints
    if isinstance(rule, CheckConstraint)
    and not of_ranges(model, rule)
    and rule.name not in RECKONED
]


def some_value(field, dice):
    """A value that a column could hold, null now and then."""
    if field.null and dice.random() < 0.35:
        return None
    if isinstance(field, models.JSONField):
        return dice.choice([{}, [], {"front": 2}])
    if field.choices:
        return dice.choice([value for value, _ in field.flatchoices if value is not None])
    if isinstance(field, models.BooleanField):
        return dice.random() < 0.5
    if isinstance(field, models.DateTimeField):
        return datetime(2020, 1, dice.randint(1, 4), tzinfo=UTC)
    if isinstance(field, models.DateField):
        return date(2020, 1, 1) + timedelta(days=dice.randint(0, 3))
    if isinstance(field, models.DecimalField):
        return Decimal(dice.randint(-2, 5))
    if isinstance(field, models.IntegerField | models.ForeignKey):
        return dice.choice([-1, 0, 1, 2, 4, 150, 1999, 2200])
    return dice.choice(["", "a", "GBP", "gbp", "0" * 14, "f" * 64, "tyre", "buffed", "house"])


@pytest.mark.django_db
@pytest.mark.parametrize(("model", "rule"), RULES)
def test_the_database_says_the_same(model, rule):
    dice = random.Random(rule.name)
    used = sorted(set(names(rule.condition)) - {"pk"})
    for _ in range(60):
        row = model()
        row.pk = dice.choice([1, 2])
        for name in used:
            field = model._meta.get_field(name)
            setattr(row, field.attname, some_value(field, dice))
        ours = holds(rule.condition, row) is not False
        values = {name: getattr(row, model._meta.get_field(name).attname) for name in used}
        assert ours == as_the_database_says(rule.condition, model, {**values, "pk": row.pk}), values


def as_the_database_says(condition, model, values):
    """The condition as PostgreSQL judges it over a row of values, unknown taken as met."""
    fields = {n: model._meta.pk if n == "pk" else model._meta.get_field(n) for n in values}
    columns = ", ".join(f'%s::{kind_of(f)} AS "{f.column}"' for f in fields.values())
    query = model._default_manager.all().query
    sql, params = query.get_compiler("default").compile(query.build_where(condition))
    with connection.cursor() as cursor:
        cursor.execute(
            f'SELECT coalesce(({sql}), true) FROM (SELECT {columns}) AS "{model._meta.db_table}"',
            [*params, *(as_sent(fields[name], value) for name, value in values.items())],
        )
        return cursor.fetchone()[0]


def as_sent(field, value):
    return value if field.is_relation else field.get_db_prep_save(value, connection)


def kind_of(field):
    plain = field.target_field if field.is_relation else field
    return plain.rel_db_type(connection) if plain.primary_key else plain.db_type(connection)


def test_every_broken_rule_comes_with_its_sentence_and_a_field():
    sku = Sku(kind=SkuKind.TYRE, size="", price=-1, mark="", mark_issue="2", currency="pounds")
    said = {fault.field: fault.words for fault in broken_rules(sku)}
    assert said == {
        "kind": "A tyre needs a size that can be read, and a pattern.",
        "price": "A price cannot be below nought.",
        "mark_issue": "A mark issue needs the mark that it is an issue of.",
        "currency": "A currency is three capital letters, such as GBP.",
    }


@pytest.mark.parametrize(
    ("row", "kept"),
    [
        (Pattern(introduced=1970, withdrawn=1960), False),
        (Pattern(introduced=1970, withdrawn=1970), True),
        (Pattern(introduced=None, withdrawn=1960), True),
        (Compound(temperature_from_c=60, temperature_to_c=None), True),  # unknown passes, as in SQL
        (Compound(temperature_from_c=95, temperature_to_c=60), False),
        (Place(room=0), False),
        (Place(room=None), True),
        (Companion(per_tyre=5, size_key="5.60-15 D"), False),
        (Companion(per_tyre=1, size_key="5.60-15 D"), True),
        (Companion(per_tyre=1, size_key=""), False),
    ],
)
def test_known_rows(row, kept):
    assert (not list(broken_rules(row))) is kept


def test_what_cannot_be_judged_here_is_left_to_the_database():
    row = Place(room=3)
    assert holds(Q(room__year=3), row) is None
    assert holds(Q(Func(F("room"), function="odd")), row) is None
    assert holds(Q(room__year=3) | Q(room=3), row) is True
    assert holds(Q(room__year=3) & Q(room=4), row) is False
    assert holds(Q(room__gte=F("walk") + 1), row) is None


def test_not_of_a_null_is_true_as_django_writes_it():
    # Django adds "is not null" under NOT, so that ~Q(room=1) holds for a row without a room
    assert holds(~Q(room=1), Place(room=None)) is True
    assert holds(Q(room=1), Place(room=None)) is None
