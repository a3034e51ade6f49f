"""Rule 7, approval: by the car's maker, or on an organiser's list; in force, superseded, withdrawn;
on what conditions, and on what it rests. "Not known" is not "not approved".
"""

from __future__ import annotations

from fitments.rules.approval_words import who_says
from fitments.rules.conditions import fact_outcome
from fitments.rules.matching import about, in_force, issued_by, same_mark
from fitments.rules.values import (
    ApprovalFact,
    Finding,
    IssuerKind,
    Outcome,
    Spot,
    Terms,
    Tyre,
    Use,
)
from fitments.rules.voice import Findings, Voice

RULE = "approval"
RECORD = "the register of approvals"
SAYS = Voice(RULE, RECORD)
MAKER, LIST = IssuerKind.CAR_MAKER, IssuerKind.ORGANISER
_POINTS = {MAKER: "maker", LIST: "list"}


def judge_approval(tyre: Tyre, spot: Spot, terms: Terms) -> Findings:
    found = _by_maker(tyre, spot, terms)
    if spot.competition_class is None and terms.use is not Use.TRACK:
        return found
    return (*found, *_on_list(tyre, spot, terms))


def _by_maker(tyre: Tyre, spot: Spot, terms: Terms) -> Findings:
    facts = issued_by(MAKER, spot)
    found = _of_this_tyre(facts, tyre, spot, terms, MAKER)
    if found:
        return found
    here = {
        who_says(each) for each in facts if each.axle in ("", spot.axle) and in_force(each, terms)
    }
    if here:
        names = sorted(here)
        return (
            SAYS.on("others").cannot_tell(
                f"The car's maker approves other tyres here ({'; '.join(names)}); of this one no "
                "approval is on record, which does not say that there is none.",
                "the maker's own list, or its letter",
            ),
        )
    return (
        SAYS.on("unknown").cannot_tell(
            "No approval by the car's maker is on record here, which does not say that there is "
            "none.",
            "the maker's own list, or its letter",
        ),
    )


def _on_list(tyre: Tyre, spot: Spot, terms: Terms) -> Findings:
    ran = spot.competition_class
    if ran is None:
        return (
            SAYS.on("no class").cannot_tell(
                "No class was named, so no organiser's list was asked.",
                "the class and season that the car is entered in",
            ),
        )
    season = [each for each in issued_by(LIST, spot) if each.season in (None, ran.season)]
    return _of_this_tyre(season, tyre, spot, terms, LIST) or (
        SAYS.on("list").cannot_tell(
            f"The tyre is not on the list of {ran} as it is on record; the list may be newer.",
            f"the organiser's list for {ran.season}",
        ),
    )


def _of_this_tyre(
    facts: list[ApprovalFact], tyre: Tyre, spot: Spot, terms: Terms, kind: IssuerKind
) -> Findings:
    """What the approvals of this tyre say, the best of them for the rule, the others as notes."""
    says, near = SAYS.on(_POINTS[kind]), about(facts, tyre, spot)
    exact = [each for each in near if same_mark(each, tyre)]
    if not exact:
        return _other_mark(says, [each for each in near if in_force(each, terms)], tyre)
    said = [_finding(says, each, tyre, terms) for each in exact]
    best, *others = sorted(said, key=lambda each: each.outcome)
    noted = SAYS.on("also")
    return (best, *(noted.finds(each.outcome, each.words, each.look_at) for each in others))


def _finding(says: Voice, fact: ApprovalFact, tyre: Tyre, terms: Terms) -> Finding:
    outcome, words, look_at = fact_outcome(fact, tyre, terms)
    source = f"{RECORD}, {fact.code}"
    if fact.evidence:
        source += f": {'; '.join(fact.evidence)}"
    return says.on(says.point, source).finds(outcome, words, look_at)


def _other_mark(says: Voice, near: list[ApprovalFact], tyre: Tyre) -> Findings:
    """The approval is of such tyres in this size, but of those that carry another mark."""
    if not near:
        return ()
    wanted = sorted({f"{each.mark} {each.mark_issue}".strip() for each in near})
    has = f"{tyre.mark} {tyre.mark_issue}".strip()
    carries = f"this tyre carries {has}" if has else "this tyre carries no mark"
    return (
        says.finds(
            Outcome.DOES_NOT_SUIT,
            f"{near[0].issuer} approves such tyres here only with the mark "
            f"{' or '.join(wanted)}; {carries}.",
        ),
    )


def withdrawn_for(tyre: Tyre, spot: Spot, terms: Terms) -> tuple[ApprovalFact, ...]:
    """The approvals of this tyre, at this place, that were withdrawn with nothing in their stead.

    Of a car maker, or of the list of the class: what stands for either is looked at by itself.
    """
    found: list[ApprovalFact] = []
    for kind in (MAKER, LIST):
        near = about(issued_by(kind, spot), tyre, spot)
        exact = [each for each in near if same_mark(each, tyre)]
        if not any(in_force(each, terms) for each in exact):
            found += [each for each in exact if each.withdrawn_on and each.withdrawn_on <= terms.on]
    return tuple(found)
