"""One approval, asked of one tyre on one day: in force? on which conditions? resting on what?"""

from __future__ import annotations

from datetime import timedelta
from typing import TypeAlias

from fitments.rules.approval_words import rests_on, who_says
from fitments.rules.values import (
    ApprovalFact,
    Basis,
    Condition,
    Outcome,
    Terms,
    Tyre,
)
from fitments.rules.words import day, sentence

Said: TypeAlias = tuple[Outcome, str, str]
_NOTHING: Said = (Outcome.SUITS, "", "")


def fact_outcome(fact: ApprovalFact, tyre: Tyre, terms: Terms) -> Said:
    """The strictest of all that is asked, every sentence in turn, and what to look at."""
    said = [
        (Outcome.SUITS, sentence(f"{who_says(fact)}; {rests_on(fact)}"), ""),
        _basis(fact),
        _in_force(fact, terms),
        _load(fact, tyre),
        _buffing(fact, tyre),
        _conditions(fact),
    ]
    looks = [look for _, _, look in said if look]
    return (
        max(outcome for outcome, _, _ in said),
        " ".join(words for _, words, _ in said if words),
        "; ".join(looks),
    )


def _basis(fact: ApprovalFact) -> Said:
    if fact.basis in (Basis.CHECKED, Basis.SELF_CHECKED):
        return _NOTHING
    return Outcome.CAUTION, "", "the issuer's own letter or list"


def _in_force(fact: ApprovalFact, terms: Terms) -> Said:
    if fact.withdrawn_on is not None and fact.withdrawn_on <= terms.on:
        return Outcome.DOES_NOT_SUIT, f"It was withdrawn on {day(fact.withdrawn_on)}.", ""
    if fact.valid.first and terms.on < fact.valid.first:
        return Outcome.DOES_NOT_SUIT, f"It is in force only from {day(fact.valid.first)} on.", ""
    ended = fact.valid.last is not None and fact.valid.last < terms.on
    if fact.superseded_by:
        since = f" since {day(fact.valid.end + timedelta(days=1))}" if ended else ""
        return (
            Outcome.CAUTION,
            f"It is superseded{since} by {fact.superseded_by}: {_old_stock(fact)}",
            "",
        )
    if ended:
        return Outcome.DOES_NOT_SUIT, f"It ran out on {day(fact.valid.end)}.", ""
    return _NOTHING


def _old_stock(fact: ApprovalFact) -> str:
    """What is told with tyres of an issue that was superseded: the issuer's words, if recorded."""
    if fact.old_stock:
        return f"{fact.issuer} says of them: {sentence(fact.old_stock.strip())}"
    return "tyres of this issue may still be sold, and told apart."


def _load(fact: ApprovalFact, tyre: Tyre) -> Said:
    least = fact.least_load_index
    if least is None:
        return _NOTHING
    if tyre.load_index is None:
        words = f"It holds from load index {least} on, and the tyre's is not known."
        return Outcome.CANNOT_TELL, words, "the load index on the sidewall"
    if tyre.load_index < least:
        words = f"It holds from load index {least} on, and the tyre has {tyre.load_index}."
        return Outcome.DOES_NOT_SUIT, words, ""
    return _NOTHING


def _buffing(fact: ApprovalFact, tyre: Tyre) -> Said:
    if tyre.condition is not Condition.BUFFED:
        return _NOTHING
    if fact.buffing_allowed:
        return _NOTHING
    if fact.buffing_allowed is None:
        words = "This tyre is buffed, and whether the approval allows that is not on record."
        return Outcome.CANNOT_TELL, words, "the issuer's conditions on buffing"
    return Outcome.DOES_NOT_SUIT, "This tyre is buffed, and the approval does not allow that.", ""


def _conditions(fact: ApprovalFact) -> Said:
    if not fact.conditions:
        return _NOTHING
    return Outcome.CAUTION, sentence(f"On condition: {fact.conditions.strip()}"), ""
