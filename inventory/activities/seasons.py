"""The buying season, its events, and what the buyer says will be otherwise."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import TypedDict, Unpack

from django.contrib.auth.models import User
from django.db import transaction

from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.entries.register import Register
from inventory.ground.refusal import Refusal
from inventory.ground.violations import named_violation
from inventory.models.season import Event, Season, SeasonChange


class SeasonValues(TypedDict, total=False):
    """What can be said of a season."""

    name: str
    first_day: date
    last_day: date
    budget: Decimal | None
    currency: str
    service: int
    review_days: int
    note: str


class EventValues(TypedDict, total=False):
    """What can be said of an event."""

    name: str
    where: str
    first_day: date
    last_day: date
    category: str
    note: str


SEASONS = Register(Season, key=("name",))
EVENTS = Register(Event, key=("name", "first_day", "category"))


class ChangeTakenBack(Refusal):
    """The change was taken back before."""

    sentence = "This change was taken back already. Nothing was changed."


class SayWhyTakenBack(Refusal):
    """A change is taken back for a reason."""

    status = 400

    def __init__(self) -> None:
        super().__init__("Say why the change is taken back.", field="why")


def make_season(*, by: User, at: datetime, **values: Unpack[SeasonValues]) -> Season:
    """Enter a season. Raises Faulty."""
    return SEASONS.make(values, by=by, at=at)


def change_season(
    *, season: Season, by: User, at: datetime, seen: int | None = None,
    **values: Unpack[SeasonValues],
) -> Season:  # fmt: skip
    """Change what is given of a season. Raises Faulty, StaleVersion."""
    return SEASONS.change(season, values, seen=seen, by=by, at=at)


def make_event(*, by: User, at: datetime, **values: Unpack[EventValues]) -> Event:
    """Enter an event. Raises Faulty."""
    return EVENTS.make(values, by=by, at=at)


def change_event(
    *, event: Event, by: User, at: datetime, seen: int | None = None, **values: Unpack[EventValues]
) -> Event:
    """Change what is given of an event. Raises Faulty, StaleVersion."""
    return EVENTS.change(event, values, seen=seen, by=by, at=at)


def say_change(
    *,
    category: str,
    first_day: date,
    last_day: date,
    percent: int,
    why: str,
    event: Event | None = None,
    by: User,
    at: datetime,
) -> SeasonChange:
    """Say that tyres of a category will sell so many per cent more, or fewer, than their season.

    It counts from the next reckoning on. Raises Faulty.
    """
    change = SeasonChange(
        category=category,
        first_day=first_day,
        last_day=last_day,
        percent=percent,
        why=why,
        event=event,
        made_at=at,
        made_by=by,
    )
    refuse_faulty(change, ["category", "first_day", "last_day", "percent", "why"])
    with named_violation():
        change.save(force_insert=True)
    return change


def take_back(*, change: SeasonChange, why: str, by: User, at: datetime) -> SeasonChange:
    """Take a change back. Raises ChangeTakenBack, SayWhyTakenBack, Faulty."""
    if not why.strip():
        raise SayWhyTakenBack
    with transaction.atomic():
        held = SeasonChange.objects.select_for_update(no_key=True).get(pk=change.pk)
        if held.withdrawn_at is not None:
            raise ChangeTakenBack
        held.withdrawn_at, held.withdrawn_by, held.withdrawn_why = at, by, why
        refuse_faulty(held, ["withdrawn_why"])
        with named_violation():
            held.save(update_fields=["withdrawn_at", "withdrawn_by", "withdrawn_why"])
    return held
