"""Rule 13: a note, never a refusal."""

from __future__ import annotations

import pytest

from fitments.rules.shape import judge_shape
from fitments.rules.values import Market, Shoulder, Use, Weight
from fitments.rules.weight import table
from tests.fitments.rules.making import CANNOT_TELL, CAUTION, SUITS, one, spot, terms, tyre


@pytest.mark.parametrize(
    ("shoulder", "outcome", "words"),
    [
        (Shoulder.ROUNDED, SUITS, "let go progressively"),
        (Shoulder.SQUARE, CAUTION, "more suddenly"),
        (Shoulder.UNKNOWN, CANNOT_TELL, "not on record"),
    ],
)
def test_the_shoulders(shoulder, outcome, words):
    found = one(judge_shape(tyre(shoulder=shoulder), spot(), terms()))
    assert found.outcome is outcome
    assert words in found.words


def test_it_only_ever_counts_as_a_note():
    cells = {table()["shape", "", market, use].counts for market in Market for use in Use}
    assert cells == {Weight.NOTE}
