"""Rule 6 as a full table: kind of tyre, kind of rim, run with a tube or not (or not known)."""

from __future__ import annotations

from itertools import product

import pytest

from fitments.rules.tube import judge_tube
from fitments.rules.values import RimKind, TubeType
from tests.fitments.rules.making import (
    CANNOT_TELL,
    CAUTION,
    REFUSED,
    SUITS,
    one,
    spot,
    terms,
    tyre,
)

ASK, WARN, NO, YES = CANNOT_TELL, CAUTION, REFUSED, SUITS
DISC, SPOKED, ALLOY = RimKind.DISC, RimKind.SPOKED, RimKind.ALLOY
HUMPLESS, UNKNOWN = RimKind.HUMPLESS, RimKind.UNKNOWN
WAYS = (True, False, None)

# common practice, no source; for each rim: run with a tube, run without, not known
TABLE = {
    TubeType.TUBE_TYPE: {
        DISC: (YES, WARN, WARN),
        ALLOY: (YES, WARN, WARN),
        SPOKED: (YES, YES, YES),
        HUMPLESS: (YES, WARN, WARN),
        UNKNOWN: (YES, WARN, WARN),
    },
    TubeType.TUBELESS: {
        DISC: (YES, YES, YES),
        ALLOY: (YES, YES, YES),
        SPOKED: (YES, YES, YES),
        HUMPLESS: (WARN, WARN, WARN),
        UNKNOWN: (ASK, ASK, ASK),
    },
    TubeType.NO_TUBE: {
        DISC: (NO, YES, ASK),
        ALLOY: (NO, YES, ASK),
        SPOKED: (NO, WARN, NO),
        HUMPLESS: (NO, NO, NO),
        UNKNOWN: (NO, ASK, ASK),
    },
    TubeType.UNKNOWN: dict.fromkeys(RimKind, (ASK, ASK, ASK)),
}
ROWS = [
    (kind, rim, tubed, TABLE[kind][rim][WAYS.index(tubed)])
    for kind, rim, tubed in product(TubeType, RimKind, WAYS)
]


def tube(kind: TubeType, rim: RimKind, tubed: bool | None):
    return one(judge_tube(tyre(tube=kind), spot(rim_kind=rim, tubed=tubed), terms()))


@pytest.mark.parametrize(("kind", "rim", "tubed", "outcome"), ROWS)
def test_the_full_table(kind, rim, tubed, outcome):
    found = tube(kind, rim, tubed)
    assert found.outcome is outcome
    assert found.source == "common practice, no source"
    assert bool(found.look_at) is (outcome in (ASK, WARN))


@pytest.mark.parametrize(
    ("kind", "rim", "tubed", "words"),
    [
        (TubeType.TUBE_TYPE, SPOKED, None, "it must have a tube"),
        (TubeType.TUBE_TYPE, DISC, False, "the wheel is run without one"),
        (TubeType.TUBE_TYPE, DISC, None, "the wheel may be run without one"),
        (TubeType.TUBELESS, SPOKED, True, "it must have a tube, as air leaks past the spokes"),
        (TubeType.TUBELESS, SPOKED, False, "a tube may be fitted"),
        (TubeType.TUBELESS, DISC, None, "a tube may be fitted, and need not be"),
        (TubeType.TUBELESS, HUMPLESS, True, "a tube does not hold the bead"),
        (TubeType.NO_TUBE, SPOKED, None, "A spoked wheel needs a tube"),
        (TubeType.NO_TUBE, SPOKED, False, "only as long as the spoked wheel is sealed"),
        (TubeType.NO_TUBE, DISC, True, "the tyre's maker refuses one"),
        (TubeType.NO_TUBE, HUMPLESS, False, "no safety humps to hold the bead"),
        (TubeType.NO_TUBE, DISC, False, "a tube refused"),
    ],
)
def test_must_may_or_must_not_is_said(kind, rim, tubed, words):
    assert words in tube(kind, rim, tubed).words


def test_not_stated_says_where_to_look():
    found = tube(TubeType.UNKNOWN, DISC, True)
    assert "TUBELESS or TUBE TYPE" in found.look_at
