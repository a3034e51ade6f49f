"""Tyre makers, what they call their treads, and what they mix into them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import TypedDict, Unpack

from django.contrib.auth.models import User

from inventory.ground.entries.faults import Fault
from inventory.ground.entries.register import Register, Values
from inventory.models.maker import Compound, Pattern, TyreMaker

MAKERS = Register(TyreMaker, key=("code",))
PATTERNS = Register(Pattern, key=("name", "maker"))


class TyreMakerValues(TypedDict, total=False):
    """What can be said of a tyre maker."""

    code: str
    name: str
    country: str


class PatternValues(TypedDict, total=False):
    """What can be said of a pattern; years are calendar years."""

    maker: TyreMaker
    name: str
    introduced: int | None
    withdrawn: int | None
    remade_since: int | None
    tread: str
    shoulder: str
    use: str
    weather: str
    note: str


class CompoundValues(TypedDict, total=False):
    """What can be said of a compound; temperatures are of the tread, in °C."""

    maker: TyreMaker
    code: str
    temperature_from_c: int | None
    temperature_to_c: int | None
    axle_only: str
    successor: Compound | None
    year: int | None


def _successor_faults(compound: Compound, given: Values) -> Iterable[Fault]:
    follows = compound.successor
    if follows is not None and follows.maker_id != compound.maker_id:
        yield Fault("successor", f"{follows} is of another maker than {compound.code}.")


COMPOUNDS = Register(Compound, key=("code", "maker"), derive=_successor_faults)


def make_tyre_maker(*, by: User, at: datetime, **values: Unpack[TyreMakerValues]) -> TyreMaker:
    """Enter a tyre maker. Raises Faulty."""
    return MAKERS.make(values, by=by, at=at)


def change_tyre_maker(
    *,
    maker: TyreMaker,
    seen: int | None = None,
    by: User,
    at: datetime,
    **values: Unpack[TyreMakerValues],
) -> TyreMaker:
    """Change what is given of a tyre maker. Raises Faulty, StaleVersion."""
    return MAKERS.change(maker, values, seen=seen, by=by, at=at)


def make_pattern(*, by: User, at: datetime, **values: Unpack[PatternValues]) -> Pattern:
    """Enter a tread pattern. Raises Faulty."""
    return PATTERNS.make(values, by=by, at=at)


def change_pattern(
    *,
    pattern: Pattern,
    seen: int | None = None,
    by: User,
    at: datetime,
    **values: Unpack[PatternValues],
) -> Pattern:
    """Change what is given of a pattern. Raises Faulty, StaleVersion."""
    return PATTERNS.change(pattern, values, seen=seen, by=by, at=at)


def make_compound(*, by: User, at: datetime, **values: Unpack[CompoundValues]) -> Compound:
    """Enter a compound. Raises Faulty."""
    return COMPOUNDS.make(values, by=by, at=at)


def change_compound(
    *,
    compound: Compound,
    seen: int | None = None,
    by: User,
    at: datetime,
    **values: Unpack[CompoundValues],
) -> Compound:
    """Change what is given of a compound. Raises Faulty, StaleVersion."""
    return COMPOUNDS.change(compound, values, seen=seen, by=by, at=at)
