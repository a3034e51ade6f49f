"""Which constructions may run together: the rule of Great Britain as a full table. Pure.

Great Britain, Road Vehicles (Construction and Use) Regulations 1986 (SI 1986/1078) reg 26, from
memory; the same rule is stated for reg 100 of the 1973 regulations in Commercial Motor, 18 June
1976, page 5, and in SI 2001/25, Schedule 3, paragraph 5N(2)-5.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from itertools import product

from fitments.rules.values import Tyre
from inventory.markings import Size
from inventory.markings.size.model import BELTED, BIAS, RADIAL

SOURCE = (
    "GB: SI 1986/1078 reg 26, from memory; the same in Commercial Motor, 18 June 1976, page 5, "
    "and SI 2001/25 Sch 3 para 5N(2)-5"
)
SPARE_SOURCE = (
    "GB: the law excepts temporary-use spares in an emergency (theaa.com, non-standard spare "
    "wheels); SI 1986/1078 reg 26, from memory"
)
CONSTRUCTIONS = (BIAS, BELTED, RADIAL)
#: Rear constructions that each front construction allows.
REAR_FOR_FRONT = {
    BIAS: frozenset({BIAS, BELTED, RADIAL}),
    BELTED: frozenset({BELTED, RADIAL}),
    RADIAL: frozenset({RADIAL}),
}


def may_run(*, front: str, rear: str) -> bool:
    """Whether these two may be on the front and the rear axle of one car."""
    return rear in REAR_FOR_FRONT[front]


def could_be(tyre: Tyre) -> frozenset[str]:
    """What the construction may be, as far as size and maker tell: one, where it is known."""
    return _could_be(tyre.size, tyre.construction)


@lru_cache(maxsize=4096)
def _could_be(size: Size | None, word: str) -> frozenset[str]:
    possible = frozenset(CONSTRUCTIONS)
    if size is not None:
        marked = (size.construction,) if size.construction else ()
        possible = frozenset(marked or size.possible_constructions or CONSTRUCTIONS)
    return possible & {word} or possible


def across(front: Iterable[str], rear: Iterable[str]) -> bool | None:
    """Whether they may run together whatever they turn out to be; None where it depends."""
    answers = {may_run(front=f, rear=r) for f, r in product(front, rear)}
    return answers.pop() if len(answers) == 1 else None


def is_temporary_spare(tyre: Tyre) -> bool:
    """Marked T in front of the size: for temporary use only."""
    return tyre.size is not None and tyre.size.prefix == "T"
