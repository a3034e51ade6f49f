"""What a verdict comes to, without its sentences: enough to put tyres in order."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from fitments.rules.values import Finding, Outcome

NOTHING = (-1, 0)
"""The brief of no findings at all."""
WORST = int(max(Outcome))
Brief = tuple[int, int]
"""The strictest outcome that counts (-1: none does), and what is said of approvals and sizes, as
bits: two briefs together are the greater of the one and the union of the other."""

_APPROVAL, _NOT_APPROVED, _SIZE, _NOT_LISTED = 1, 2, 4, 8
_POINTS = ("maker", "list")


@dataclass(frozen=True, slots=True)
class Gist:
    """The outcome, and whether all that is said of approvals, or of sizes, speaks for the tyres.

    Both are False where nothing is said of it.
    """

    outcome: Outcome
    approved: bool
    listed: bool


def brief_of(findings: Iterable[Finding]) -> Brief:
    """What weighed findings come to."""
    strictest, bits = NOTHING
    for each in findings:
        counted = each.counted
        if counted is not None and counted > strictest:
            strictest = int(counted)
        against = each.outcome is not Outcome.SUITS
        if each.rule == "size":
            bits |= _NOT_LISTED | _SIZE if against else _SIZE
        elif each.rule == "approval" and each.point in _POINTS:
            bits |= _NOT_APPROVED | _APPROVAL if against else _APPROVAL
    return strictest, bits


def both(briefs: Iterable[Brief]) -> Brief:
    """What several briefs come to together."""
    strictest, bits = NOTHING
    for each in briefs:
        if each[0] > strictest:
            strictest = each[0]
        bits |= each[1]
    return strictest, bits


@cache  # there are a few dozen at the most
def gist_of(brief: Brief) -> Gist:
    """The same with names. As in a verdict, nothing that counts at all is "cannot tell"."""
    strictest, bits = brief
    return Gist(
        Outcome.CANNOT_TELL if strictest < 0 else Outcome(strictest),
        bits & (_APPROVAL | _NOT_APPROVED) == _APPROVAL,
        bits & (_SIZE | _NOT_LISTED) == _SIZE,
    )
