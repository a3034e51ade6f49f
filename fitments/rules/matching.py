"""Which approvals speak of a tyre at a place, and whether they hold on a day."""

from __future__ import annotations

from collections.abc import Iterable

from fitments.rules.measures import tyre_keys
from fitments.rules.values import ApprovalFact, Basis, IssuerKind, Spot, Terms, Tyre
from fitments.rules.values.span import ALWAYS


def about(facts: Iterable[ApprovalFact], tyre: Tyre, spot: Spot) -> list[ApprovalFact]:
    """The approvals of this size, pattern and compound for this axle, whatever the mark."""
    keys, compound = tyre_keys(tyre), tyre.compound.key if tyre.compound else None
    return [
        each
        for each in facts
        if (not each.keys or not each.keys.isdisjoint(keys))
        and (not each.axle or spot.axle is None or each.axle == spot.axle)
        and each.pattern_key in (None, tyre.pattern_key)
        and each.compound_key in (None, compound)
    ]


def same_mark(fact: ApprovalFact, tyre: Tyre) -> bool:
    """By list, or the tyre carries just this mark, of just this issue."""
    ours = tyre.mark.casefold(), tyre.mark_issue.casefold()
    return fact.by_list or ours == (fact.mark.casefold(), fact.mark_issue.casefold())


def approved_by_maker(tyre: Tyre, spot: Spot, terms: Terms) -> ApprovalFact | None:
    """An approval by the car's maker of this tyre in this size, in force, its evidence checked."""
    for each in about(issued_by(IssuerKind.CAR_MAKER, spot), tyre, spot):
        rests = each.basis in (Basis.CHECKED, Basis.SELF_CHECKED)
        if each.keys and same_mark(each, tyre) and rests and in_force(each, terms):
            return each
    return None


def in_force(fact: ApprovalFact, terms: Terms) -> bool:
    """Whether it holds on the day and has not been withdrawn by then."""
    if fact.withdrawn_on is not None and fact.withdrawn_on <= terms.on:
        return False
    return fact.valid is ALWAYS or fact.valid.holds(terms.on)


def issued_by(kind: IssuerKind, spot: Spot) -> list[ApprovalFact]:
    return [each for each in spot.approvals if each.issuer_kind is kind]
