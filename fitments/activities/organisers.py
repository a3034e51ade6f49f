"""Organisers, and the classes of their seasons with the cars that these admit."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import TypedDict, Unpack

from django.contrib.auth.models import User

from fitments.models.car import Variant
from fitments.models.organiser import CompetitionClass, Organiser
from inventory.ground.entries.parts import Links
from inventory.ground.entries.register import Entry, Register

ORGANISERS = Register(Organiser, key=("code",))


class OrganiserValues(TypedDict, total=False):
    """What can be said of an organiser."""

    code: str
    name: str


class ClassValues(TypedDict, total=False):
    """What can be said of a class of an organiser's season, by one edition of its list."""

    organiser: Organiser
    code: str
    season: int
    edition: str
    name: str
    age_limit_months: int | None
    buffing_allowed: bool | None
    variants: Sequence[Variant]


ADMITTED = Links("variants", CompetitionClass.variants.through, "competitionclass_id", "variant_id")


class ClassRegister(Register[CompetitionClass]):
    """Classes by their code, with the variants that they admit."""

    parts = frozenset({ADMITTED.name})
    compared = (ADMITTED.part,)

    def write_parts(
        self, entries: Sequence[Entry[CompetitionClass]], *, by: User, at: datetime
    ) -> None:
        ADMITTED.write(entries)


CLASSES = ClassRegister(CompetitionClass, key=("code",))


def make_organiser(*, by: User, at: datetime, **values: Unpack[OrganiserValues]) -> Organiser:
    """Enter an organiser. Raises Faulty."""
    return ORGANISERS.make(values, by=by, at=at)


def change_organiser(
    *, organiser: Organiser, by: User, at: datetime, **values: Unpack[OrganiserValues]
) -> Organiser:
    """Change what is given of an organiser. Raises Faulty."""
    return ORGANISERS.change(organiser, values, by=by, at=at)


def make_class(*, by: User, at: datetime, **values: Unpack[ClassValues]) -> CompetitionClass:
    """Enter a class of a season. Raises Faulty."""
    return CLASSES.make(values, by=by, at=at)


def change_class(
    *, competition_class: CompetitionClass, by: User, at: datetime, **values: Unpack[ClassValues]
) -> CompetitionClass:
    """Change what is given of a class. Raises Faulty."""
    return CLASSES.change(competition_class, values, by=by, at=at)
