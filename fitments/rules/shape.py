"""Rule 13, shape: rounded shoulders let go progressively, which suits period suspension. A note."""

from __future__ import annotations

from fitments.rules.values import Finding, Shoulder, Spot, Terms, Tyre
from fitments.rules.voice import Findings, Voice

RULE = "shape"
SAYS = Voice(RULE)


def judge_shape(tyre: Tyre, spot: Spot, terms: Terms) -> Findings:
    return (_shape(tyre),)


def _shape(tyre: Tyre) -> Finding:
    if tyre.shoulder is Shoulder.ROUNDED:
        return SAYS.suits(
            "Rounded shoulders: they let go progressively, as period suspension likes."
        )
    if tyre.shoulder is Shoulder.SQUARE:
        return SAYS.warns(
            "Square shoulders: they let go later, and more suddenly, than rounded ones."
        )
    return SAYS.cannot_tell("The shape of the shoulders is not on record.", "the tyre's shoulder")
