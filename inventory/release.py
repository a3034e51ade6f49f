"""May these tyres leave? The question that despatch asks before anything goes out of the house.

Stock knows nothing of cars. Whoever does is named in the settings (``RELEASE``, a dotted name of a
function as `Releases` describes); where nobody is named nothing leaves.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from typing import Any, Protocol

from django.conf import settings
from django.utils.module_loading import import_string

from inventory.ground.refusal import Refusal

AGE_LIMIT = "age_limit_months"
"""Under which the answer of a promise keeps how old tyres may be by the customer's own wish, in
months on the day that they are taken or leave."""
LONGEST_LIMIT = 1200


def age_limit_of(answer: Mapping[str, Any]) -> int | None:
    """The age limit that the customer asked for; None where none was, or what is kept is none."""
    said = answer.get(AGE_LIMIT)
    return said if type(said) is int and 0 < said <= LONGEST_LIMIT else None


class May(StrEnum):
    """Whether a set may leave."""

    LEAVE = "leave"
    WITH_A_WORD = "with_a_word"
    STAY = "stay"


@dataclass(frozen=True, slots=True)
class LeavingTyres:
    """So many of one lot that are to leave; ``for_place`` is "" for companions and pieces."""

    sku_id: int
    lot_id: int
    for_place: str
    quantity: int


@dataclass(frozen=True, slots=True)
class LeavingSet:
    """One set, or so many pieces, as it is to leave, and for whose car it was sold.

    key: the hold's. car_id: the customer's car; None where none was named. answer: what was
    answered when it was sold, as the hold keeps it. ordered_at: when it was ordered.
    """

    key: int
    what: str
    car_id: int | None
    tyres: tuple[LeavingTyres, ...]
    answer: Mapping[str, Any]
    ordered_at: datetime


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a set stays, or leaves with the owner's word only.

    code: the same for the same reason on another day, when the words (an age) may differ.
    """

    code: str
    words: str


@dataclass(frozen=True, slots=True)
class Release:
    """What is said of one set: whether it may leave, in words, and what that rests on.

    reasons: why not, or why only with the owner's word. said: what goes with it
    on the delivery note. known: everything that was known, as JSON keeps it, without any name,
    plate or chassis number; ``known_of`` the same by lot. cautions: what stands on every paper.
    """

    key: int
    may: May
    reasons: tuple[Reason, ...] = ()
    said: tuple[str, ...] = ()
    known: Mapping[str, Any] = field(default_factory=dict)
    known_of: Mapping[int, Mapping[str, Any]] = field(default_factory=dict)
    cautions: tuple[str, ...] = ()


class Releases(Protocol):
    """Answers for each set, in their order; reads only."""

    def __call__(self, sets: Sequence[LeavingSet], *, at: datetime) -> Sequence[Release]: ...


class NobodyReleases(Refusal):
    """No one is named who could say whether tyres may leave."""

    status = 503
    sentence = (
        "Nobody is named who says whether tyres may leave (the setting RELEASE), so nothing does. "
        "Nothing was changed."
    )


def releases_for(sets: Sequence[LeavingSet], *, at: datetime) -> list[Release]:
    """Ask whoever the settings name. Raises NobodyReleases."""
    named = getattr(settings, "RELEASE", "")
    if not named:
        raise NobodyReleases
    answers: Releases = import_string(named)
    return list(answers(sets, at=at))
