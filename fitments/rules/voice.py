"""How a rule speaks: one short call for each outcome, the rule's name and source filled in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

from fitments.rules.values import Finding, Outcome, Spot, Terms, Tyre

Findings: TypeAlias = tuple[Finding, ...]
Rule: TypeAlias = Callable[[Tyre, Spot, Terms], Findings]

#: What is said of a rule that the trade keeps and no published text was read for.
CUSTOM = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Voice:
    """The rule that speaks, the point it speaks of, and where the rule is from."""

    rule: str
    source: str = CUSTOM
    point: str = ""

    def on(self, point: str, source: str = "") -> Voice:
        """The same rule speaking of one point, from another source where one is given."""
        return Voice(self.rule, source or self.source, point)

    def suits(self, words: str) -> Finding:
        return self.finds(Outcome.SUITS, words)

    def warns(self, words: str, look_at: str = "") -> Finding:
        return self.finds(Outcome.CAUTION, words, look_at)

    def refuses(self, words: str) -> Finding:
        return self.finds(Outcome.DOES_NOT_SUIT, words)

    def cannot_tell(self, words: str, look_at: str) -> Finding:
        return self.finds(Outcome.CANNOT_TELL, words, look_at)

    def finds(self, outcome: Outcome, words: str, look_at: str = "") -> Finding:
        return Finding(self.rule, outcome, words, self.source, look_at, self.point)
