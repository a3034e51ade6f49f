"""What the outcome of a rule hangs on at one place: less than what its sentences hang on.

Of two tyres of one kind a rule comes to the same outcome. Of many tyres that only have to be put in
order, none needs a sentence.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from operator import attrgetter
from typing import TypeAlias

from fitments.rules.age import judge_age
from fitments.rules.approval import judge_approval
from fitments.rules.listed import listed_as
from fitments.rules.matching import about, approved_by_maker, same_mark
from fitments.rules.measures import tyre_keys
from fitments.rules.period import judge_pattern, years
from fitments.rules.registry import APPROVED, PARTS
from fitments.rules.size import judge_size
from fitments.rules.supply import is_e_marked, judge_supply
from fitments.rules.use import judge_use
from fitments.rules.values import ApprovalFact, Spot, Terms, Tyre
from fitments.rules.voice import Rule

Looks: TypeAlias = Callable[[Tyre], Hashable]


Group: TypeAlias = tuple[Looks, tuple[int, ...]]
"""What tells tyres apart, and the rules it is for, by their numbers among all parts."""


def groups(spot: Spot, terms: Terms) -> tuple[list[Group], list[Group]]:
    """The rules that share one kind here: those that say more than an outcome, and the others.

    Most look at what a tyre is made as, in which many agree; these are among the first too. Each
    that looks at more has a kind of its own.
    """
    first: list[Group] = []
    others: list[Group] = []
    names: dict[str, None] = {}
    shared: list[int] = []
    for number, (judge, looks_at) in enumerate(PARTS):
        kind = _KINDS.get(judge)
        if kind is not None:
            (first if judge in _TELLING else others).append((kind(spot, terms), (number,)))
        elif judge in _ALONE:
            others.append((looks(told_apart_by(looks_at, spot)), (number,)))
        else:
            names |= dict.fromkeys(told_apart_by(looks_at, spot))
            shared.append(number)
    return [(looks(list(names)), tuple(shared)), *first], others


def looks(names: Sequence[str]) -> Looks:
    """The values of some attributes of a tyre."""
    return attrgetter(*names) if names else lambda tyre: None


def told_apart_by(looks_at: tuple[str, ...], spot: Spot) -> Sequence[str]:
    """What a rule looks at of a tyre at this place: what no approval here asks for, it does not."""
    if looks_at[: len(APPROVED)] != APPROVED:
        return looks_at
    asked = {
        "pattern_key": any(fact.pattern_key is not None for fact in spot.approvals),
        "compound": any(fact.compound_key is not None for fact in spot.approvals),
        "mark": bool(spot.approvals),
        "mark_issue": bool(spot.approvals),
    }
    return [name for name in looks_at if asked.get(name, True)]


def _of_size(spot: Spot, terms: Terms) -> Looks:
    """The size, by a number, where it is listed; else whether it is approved; else its measures."""
    listed: dict[Hashable, int] = {}

    def kind(tyre: Tyre) -> Hashable:
        size = tyre.size, tyre.size_keys
        number = listed.get(size)
        if number is None:
            is_listed = listed_as(tyre, spot).best is not None
            number = listed[size] = len(listed) + 1 if is_listed else 0
        if number or tyre.size is None:
            return number
        if approved_by_maker(tyre, spot, terms):
            return "approved"
        return *size, tyre.overall_mm, tyre.section_mm

    return kind


def _of_approval(spot: Spot, terms: Terms) -> Looks:
    """Which approvals are of such a tyre, which of its mark, and what these ask of it."""
    of_size: dict[frozenset[str], list[ApprovalFact]] = {}

    def kind(tyre: Tyre) -> Hashable:
        keys = tyre_keys(tyre)
        facts = of_size.get(keys)
        if facts is None:
            facts = of_size[keys] = [
                fact for fact in spot.approvals if not fact.keys or not fact.keys.isdisjoint(keys)
            ]
        if not facts:
            return ()
        near = [(id(fact), same_mark(fact, tyre)) for fact in about(facts, tyre, spot)]
        return (*near, tyre.load_index, tyre.condition) if near else ()

    return kind


def _of_supply(spot: Spot, terms: Terms) -> Looks:
    return lambda tyre: (is_e_marked(tyre), bool(tyre.supply_basis), tyre.condition)


def _of_pattern(spot: Spot, terms: Terms) -> Looks:
    """How the years of the pattern lie to those in which the car was built."""
    if spot.built is None or not spot.built.known:
        return lambda tyre: tyre.introduced is None
    first, last = years(spot.built)

    def kind(tyre: Tyre) -> Hashable:
        came, went, again = tyre.introduced, tyre.withdrawn, tyre.remade_since
        if came is None:
            return None
        return (
            last is not None and came > last,
            first is not None and (came > first, came == first),
            went is not None and (last is None or went < last),
            again is not None and first is not None and again <= first,
        )

    return kind


_KINDS: dict[Rule, Callable[[Spot, Terms], Looks]] = {
    judge_size: _of_size,
    judge_approval: _of_approval,
    judge_supply: _of_supply,
    judge_pattern: _of_pattern,
}
_ALONE = frozenset({judge_use, judge_age})
_TELLING = frozenset({judge_size, judge_approval})  # a gist holds more of them than the outcome
