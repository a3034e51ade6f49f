"""Who did it and when are both known, or neither: swept over every model."""

from __future__ import annotations

from itertools import product

import pytest
from django.apps import apps
from django.db import models
from django.db.models import Q


def pairs() -> list[tuple[type[models.Model], str]]:
    """Every model and stem with both `<stem>_at` and `<stem>_by`, where one may be empty."""
    found = []
    for app in ("ground", "inventory", "fitments"):
        for model in apps.get_app_config(app).get_models():
            fields = {field.name: field for field in model._meta.concrete_fields}
            for name in fields:
                stem = name.removesuffix("_at")
                other = fields.get(f"{stem}_by")
                if name.endswith("_at") and other and (fields[name].null or other.null):
                    found.append((model, stem))
    return found


def can_hold(rule: Q | tuple, given: dict[str, bool]) -> set[bool]:
    """What a rule may come to when it is only known which of the two fields are set."""
    if isinstance(rule, tuple):
        name, _, lookup = rule[0].partition("__")
        if name not in given:
            return {True, False}
        if lookup == "isnull" or rule[1] is None:
            wants_empty = rule[1] is True or rule[1] is None
            return {given[name] is not wants_empty}
        return {True, False} if given[name] else {False}  # a comparison with nothing never holds
    told = [can_hold(child, given) for child in rule.children]
    join = any if rule.connector == Q.OR else all
    found = {join(values) for values in product(*told)}
    return {not value for value in found} if rule.negated else found


def ties(rule: Q, stem: str) -> bool:
    """Whether the rule lets the two stand only together."""
    can = {
        (at, by): can_hold(rule, {f"{stem}_at": at, f"{stem}_by": by})
        for at, by in product((True, False), repeat=2)
    }
    alone = can[True, False] | can[False, True]
    return alone == {False} and True in can[True, True] and True in can[False, False]


@pytest.mark.parametrize(("model", "stem"), pairs(), ids=str)
def test_both_or_neither(model, stem):
    checks = [each for each in model._meta.constraints if isinstance(each, models.CheckConstraint)]
    assert any(ties(check.condition, stem) for check in checks), f"{stem}_at without {stem}_by"


def test_the_sweep_finds_something():
    assert pairs()


@pytest.mark.parametrize(
    ("rule", "tied"),
    [
        (Q(x_at=None, x_by=None) | Q(x_at__isnull=False, x_by__isnull=False), True),
        (Q(x_at=None, x_by=None, why="") | (Q(x_at__gt=1, x_by__isnull=False) & ~Q(why="")), True),
        (Q(x_at=None) | Q(x_by__isnull=False), False),
        (Q(why=""), False),
        (Q(x_at__isnull=False, x_by__isnull=False), False),
    ],
)
def test_a_rule_that_lets_one_stand_alone_is_found(rule, tied):
    assert ties(rule, "x") is tied
