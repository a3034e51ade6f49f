"""What is known, on a day, of approvals for a car."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from fitments.rules.values.span import ALWAYS, DaySpan
from fitments.rules.values.terms import MarkPolicy


class IssuerKind(StrEnum):
    CAR_MAKER = "car_maker"
    ORGANISER = "organiser"


class Basis(StrEnum):
    """What an approval rests on."""

    CHECKED = "checked"
    SELF_CHECKED = "self_checked"
    CLAIMED = "claimed"
    NONE = "none"

    @property
    def words(self) -> str:
        return _BASES[self]


_BASES = {
    Basis.CHECKED: "evidence checked by a second person",
    Basis.SELF_CHECKED: "evidence checked only by the person who recorded it",
    Basis.CLAIMED: "a claim whose evidence nobody has checked",
    Basis.NONE: "nothing on file",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class CompetitionClass:
    """A class of an organiser's season. ``buffing_allowed`` None: its rules do not say."""

    organiser: str
    name: str
    season: int
    edition: str = ""
    age_limit_months: int | None = None
    buffing_allowed: bool | None = None

    def __str__(self) -> str:
        return f"{self.organiser} {self.season}, {self.name}"


@dataclass(frozen=True, slots=True, kw_only=True)
class ApprovalFact:
    """One approval as it is known: who says so, of which tyre, for what, and what it rests on.

    ``scope`` is the model range or the class in words, ``season`` that of an organiser's list.
    No ``axle``, ``keys``, ``pattern_key`` or ``compound_key`` is any. ``valid`` has both days
    inclusive. ``superseded_by`` names the later approval in words. ``mark_policy`` is what the
    issuer says of its mark's issues on one car, ``old_stock`` of tyres of an issue superseded.
    """

    code: str
    issuer_kind: IssuerKind
    issuer: str
    scope: str
    season: int | None = None
    axle: str = ""
    keys: frozenset[str] = frozenset()
    size: str = ""
    pattern_key: int | None = None
    pattern: str = ""
    compound_key: int | None = None
    compound: str = ""
    mark: str = ""
    mark_issue: str = ""
    by_list: bool = False
    valid: DaySpan = ALWAYS
    withdrawn_on: date | None = None
    superseded_by: str = ""
    least_load_index: int | None = None
    buffing_allowed: bool | None = None
    conditions: str = ""
    mark_policy: MarkPolicy | None = None
    old_stock: str = ""
    basis: Basis = Basis.NONE
    evidence: tuple[str, ...] = ()
