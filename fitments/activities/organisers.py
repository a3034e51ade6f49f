"""Organisers, and the classes of their seasons with the cars that these admit."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Sequence
from datetime import datetime
from typing import Any, TypedDict, Unpack

from django.contrib.auth.models import User
from django.db.models import Manager

from fitments.models.car import Variant
from fitments.models.organiser import CompetitionClass, Organiser
from inventory.ground.entries.parts import Part
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


class ClassRegister(Register[CompetitionClass]):
    """Classes by their code, with the variants that they admit."""

    parts = frozenset({"variants"})
    compared = (
        Part("variants", lambda e: {one.pk for one in e.given["variants"]}, lambda p: _admitted(p)),
    )

    def write_parts(
        self, entries: Sequence[Entry[CompetitionClass]], *, by: User, at: datetime
    ) -> None:
        told = [e for e in entries if "variants" in e.given and (e.is_new or e.parts_changed)]
        wanted = {entry.row.pk: {one.pk for one in entry.given["variants"]} for entry in told}
        held = _admitted(wanted)
        for class_id, admitted in wanted.items():
            gone = held[class_id] - admitted
            if gone:
                _links().filter(competitionclass=class_id, variant__in=gone).delete()
        _links().bulk_create(
            [
                CompetitionClass.variants.through(
                    competitionclass_id=class_id, variant_id=variant_id
                )
                for class_id, admitted in wanted.items()
                for variant_id in sorted(admitted - held[class_id])
            ],
            batch_size=1000,
        )


def _links() -> Manager[Any]:
    return CompetitionClass.variants.through._default_manager


def _admitted(classes: Collection[int]) -> dict[int, set[int]]:
    held: dict[int, set[int]] = defaultdict(set)
    rows = _links().filter(competitionclass__in=classes)
    for class_id, variant_id in rows.values_list("competitionclass_id", "variant_id"):
        held[class_id].add(variant_id)
    return held


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
