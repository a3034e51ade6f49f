"""A check constraint judged in Python as PostgreSQL would, so that 5,000 rows cost no query.

The rule and its sentence stand once, on the model. The database stays the judge of last resort:
what cannot be judged here counts as unknown, and unknown passes, as in SQL.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

from django.db.models import CheckConstraint, F, Model, Q

from inventory.ground.entries.faults import Fault

Truth = bool | None  # None is SQL's "unknown"

_COMPARE: dict[str, Callable[[Any, Any], bool]] = {
    "exact": lambda one, other: bool(one == other),
    "lt": lambda one, other: bool(one < other),
    "lte": lambda one, other: bool(one <= other),
    "gt": lambda one, other: bool(one > other),
    "gte": lambda one, other: bool(one >= other),
    "in": lambda one, other: one in other,
    "regex": lambda one, other: re.search(other, one) is not None,
}

_PARTS = {"day", "month", "year"}  # of a date


def broken_rules(instance: Model) -> Iterator[Fault]:
    """The check constraints that this row breaks, each with the sentence that it carries."""
    for constraint in instance._meta.constraints:
        if not isinstance(constraint, CheckConstraint) or not isinstance(constraint.condition, Q):
            continue
        if holds(constraint.condition, instance) is False:
            sentence = str(constraint.get_violation_error_message())
            yield Fault(_blamed(constraint.condition, instance), sentence)


def holds(condition: Q, instance: Model, *, denied: bool = False) -> Truth:
    """Whether a row meets a condition; None where SQL would say unknown, or we cannot tell."""
    denied ^= condition.negated
    parts = [
        holds(child, instance, denied=denied)
        if isinstance(child, Q)
        else _leaf(child, instance, denied=denied)
        for child in condition.children
    ]
    truth = _any(parts) if condition.connector == Q.OR else _all(parts)
    return truth if truth is None or not condition.negated else not truth


def _leaf(child: Any, instance: Model, *, denied: bool) -> Truth:
    if not isinstance(child, tuple):
        return None
    name, _, lookup = child[0].partition("__")
    mine: Any = _value(name, instance)
    other: Any = child[1]
    part, _, rest = lookup.partition("__")
    if part in _PARTS:
        mine, lookup = getattr(mine, part, None), rest
    if lookup == "isnull":
        return (mine is None) is other
    compare = _COMPARE.get(lookup or "exact")
    if isinstance(other, F):
        other = _value(str(other.name), instance)  # type: ignore[attr-defined]
    elif hasattr(other, "resolve_expression"):
        return None
    if mine is None or other is None:
        # Under NOT, Django adds "and is not null" to a column that may be null.
        return False if denied else None
    return compare(mine, other) if compare else None


def _value(name: str, instance: Model) -> Any:
    if name == "pk":
        return instance.pk
    return getattr(instance, instance._meta.get_field(name).attname)  # type: ignore[union-attr]


def _all(parts: list[Truth]) -> Truth:
    if False in parts:
        return False
    return None if None in parts else True


def _any(parts: list[Truth]) -> Truth:
    if True in parts:
        return True
    return None if None in parts else False


def _blamed(condition: Q, instance: Model) -> str:
    """The first of the named fields that holds something: rules name first what they are about."""
    names = list(_names(condition))
    held = [name for name in names if name != "pk" and _value(name, instance) not in (None, "")]
    return (held or names)[0]


def _names(condition: Q) -> Iterator[str]:
    for child in condition.children:
        if isinstance(child, Q):
            yield from _names(child)
        elif isinstance(child, tuple):
            yield child[0].partition("__")[0]
