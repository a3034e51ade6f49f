"""Approvals in words: who approves what, and what it rests on."""

from __future__ import annotations

from fitments.rules.values import ApprovalFact, IssuerKind


def who_says(fact: ApprovalFact) -> str:
    """``Approved by Hallmere for the Sprint range, mark K2, issue 2`` or the like."""
    if fact.issuer_kind is IssuerKind.ORGANISER:
        head = f"on the list of {fact.issuer} for {fact.scope}"
    else:
        head = f"approved by {fact.issuer} for {fact.scope}"
    return f"{head}{mark(fact)}"


def mark(fact: ApprovalFact) -> str:
    """``, mark K2, issue 2``; ``, by list`` of a car maker, nothing more of a list itself."""
    if fact.by_list or not fact.mark:
        return "" if fact.issuer_kind is IssuerKind.ORGANISER else ", by list"
    return f", mark {fact.mark}" + (f", issue {fact.mark_issue}" if fact.mark_issue else "")


def rests_on(fact: ApprovalFact) -> str:
    return f"it rests on {fact.basis.words}"
