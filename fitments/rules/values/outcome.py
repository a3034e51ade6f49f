"""What a rule finds, and what all findings come to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import IntEnum


class Outcome(IntEnum):
    """What is answered. Ordered: of several, the greatest decides."""

    SUITS = 0
    CAUTION = 1
    CANNOT_TELL = 2
    DOES_NOT_SUIT = 3

    @property
    def code(self) -> str:
        """``suits``, ``caution``, ``cannot_tell`` or ``does_not_suit``."""
        return _CODES[self]

    @property
    def word(self) -> str:
        return _WORDS[self]

    @property
    def sign(self) -> str:
        return "✓!?✕"[self]


_CODES = tuple(each.name.lower() for each in Outcome)
_WORDS = {
    Outcome.SUITS: "suits",
    Outcome.CAUTION: "suits with a caution",
    Outcome.CANNOT_TELL: "cannot tell",
    Outcome.DOES_NOT_SUIT: "does not suit",
}


class Weight(IntEnum):
    """What a finding counts for. Ordered: of several, the greatest (the strictest) applies."""

    NOT_ASKED = 0
    NOTE = 1
    CAUTION = 2
    FULL = 3

    @property
    def code(self) -> str:
        """``not_asked``, ``note``, ``caution`` or ``full``."""
        return _WEIGHT_CODES[self]

    @property
    def word(self) -> str:
        return ("not asked", "note only", "a caution at most", "in full")[self]


_WEIGHT_CODES = tuple(each.name.lower() for each in Weight)


@dataclass(frozen=True, slots=True)
class Finding:
    """What one rule says of one tyre at one place.

    ``words`` is a plain sentence with its numbers and units, ``source`` where the rule is from,
    ``look_at`` what would tell, where the outcome is "cannot tell". ``point`` parts the findings
    of a rule that count differently. ``place`` is the axle, where a whole car is judged; empty
    where the finding is about the whole car or about the one place asked for. ``counts`` and
    ``counts_by`` are set by the table of weights: how much, and by which source.
    """

    rule: str
    outcome: Outcome
    words: str
    source: str
    look_at: str = ""
    point: str = ""
    place: str = ""
    counts: Weight = Weight.FULL
    counts_by: str = ""

    @property
    def counted(self) -> Outcome | None:
        """The outcome that this finding adds to a verdict; None where it is a note only."""
        if self.counts is Weight.FULL:
            return self.outcome
        if self.counts is Weight.CAUTION:
            return min(self.outcome, Outcome.CAUTION)
        return None


@dataclass(frozen=True, slots=True)
class Verdict:
    """The strictest of what was found, and every finding, in the order of the rules."""

    outcome: Outcome
    findings: tuple[Finding, ...]

    @classmethod
    def of(cls, findings: Iterable[Finding]) -> Verdict:
        """The verdict of weighed findings; nothing that counts at all is "cannot tell"."""
        found = tuple(findings)
        counted = [each.counted for each in found if each.counted is not None]
        return cls(max(counted, default=Outcome.CANNOT_TELL), found)

    @property
    def worst(self) -> tuple[Finding, ...]:
        """The findings that decide."""
        return tuple(each for each in self.findings if each.counted is self.outcome)

    @property
    def notes(self) -> tuple[Finding, ...]:
        """The findings that are shown and do not count."""
        return tuple(each for each in self.findings if each.counted is None)

    @property
    def reasons(self) -> tuple[str, ...]:
        """The sentences of all that counts, the strictest first, else in the order of the rules."""
        counted = [each for each in self.findings if each.counted is not None]
        return tuple(each.words for each in sorted(counted, key=_strictest_first))

    @property
    def look_at(self) -> tuple[str, ...]:
        """What to look at, each thing once, so that more can be told."""
        return tuple(dict.fromkeys(each.look_at for each in self.findings if each.look_at))

    @property
    def by_rule(self) -> dict[str, tuple[Finding, ...]]:
        """The findings of each rule that said anything."""
        rules = dict.fromkeys(each.rule for each in self.findings)
        return {rule: tuple(f for f in self.findings if f.rule == rule) for rule in rules}


def _strictest_first(finding: Finding) -> int:
    return -(finding.counted or Outcome.SUITS)
