"""What kinds of job there are, and what one step of a job is.

An app says its kinds in its `tasks` module:

    @job_kind("forget-keys", title="Forget old keys")
    def forget_keys(work: Work, cursor: Any) -> Step:
        ...

A step does one chunk inside the runner's transaction: what it writes, the next cursor and the
progress are committed together or not at all. It leans on nothing but what it is given (``work``
and ``cursor``; the first cursor is None) and the database, and touches nothing but the database:
after a killed worker it is done again from the same cursor.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from importlib import import_module
from importlib.util import find_spec
from typing import Any

from django.apps import apps
from django.contrib.auth.models import User

from inventory.ground.refusal import Refusal


class NoSuchKind(Refusal):
    """There is no job of this kind."""

    status = 404


@dataclass(frozen=True, slots=True)
class Work:
    """What a step is told of its job; ``at`` is when it was asked for, and stays so."""

    job_id: int
    slot: str
    arguments: Mapping[str, Any]
    by: User | None
    at: datetime


@dataclass(frozen=True, slots=True)
class Wrong:
    """What is wrong with one row."""

    row: int
    words: str
    column: str = ""


@dataclass(frozen=True, slots=True)
class Step:
    """What one chunk did. ``cursor`` is where the next begins; None: there is no next.

    ``done`` rows were done in this chunk, and ``wrong`` says what is the matter with others (a row
    may stand there twice); ``failed`` is how many those were, where not all are listed. ``total``
    is how many rows there are, once that is known. ``afresh`` counts rows from nought again and
    forgets the wrong ones so far. ``refused``: the job ends as failed with this sentence, and may
    be resumed at ``cursor``. ``result`` says what came of it.
    """

    cursor: Any = None
    done: int = 0
    total: int | None = None
    wrong: Sequence[Wrong] = ()
    failed: int | None = None
    doing: str = ""
    afresh: bool = False
    refused: str = ""
    result: str = ""


Stepper = Callable[[Work, Any], Step]
About = Callable[[Mapping[str, Any]], str]


@dataclass(frozen=True, slots=True)
class JobKind:
    """A kind of job. ``about`` tells from its arguments what a job is about, in a few words."""

    name: str
    title: str
    step: Stepper
    about: About
    again: bool


_KINDS: dict[str, JobKind] = {}


def _about_nothing(arguments: Mapping[str, Any]) -> str:
    return ""


def job_kind(
    name: str, *, title: str, about: About = _about_nothing, again: bool = True
) -> Callable[[Stepper], Stepper]:
    """Decorator: a function that does one step is a kind of job.

    ``again``: whether such a job may be run a second time once it is done.
    """

    def made(step: Stepper) -> Stepper:
        earlier = _KINDS.setdefault(name, JobKind(name, title, step, about, again))
        if earlier.step is not step:
            raise TypeError(f"there are two kinds of job called {name}")
        return step

    return made


def every_kind() -> Mapping[str, JobKind]:
    """All kinds by name: those of the `tasks` modules of all apps."""
    _look()
    return _KINDS


def kind_named(name: str) -> JobKind:
    """One kind by name. Raises NoSuchKind with the known ones."""
    kinds = every_kind()
    if name not in kinds:
        known = ", ".join(sorted(kinds))
        raise NoSuchKind(f"There is no job of the kind “{name[:40]}”. Known are: {known}.")
    return kinds[name]


@cache
def _look() -> None:
    for app in apps.get_app_configs():
        place = f"{app.name}.tasks"
        if find_spec(place) is not None:
            import_module(place)
