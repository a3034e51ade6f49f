"""What a car maker says of its mark: may issues be mixed on one car, what is told of old stock."""

from __future__ import annotations

from datetime import datetime
from typing import TypedDict, Unpack

from django.contrib.auth.models import User
from django.db import transaction

from fitments.activities.written import WrittenRegister
from fitments.models.car import CarMaker
from fitments.models.evidence import Evidence
from fitments.models.mark import IssuerMark, IssuerMarkVersion
from inventory.ground.refusal import StaleVersion

MARKS = WrittenRegister(IssuerMark, key=("car_maker", "mark"))


class MarkValues(TypedDict, total=False):
    """What can be said of a mark; an empty ``mixing``: what its issuer wants is not on record."""

    car_maker: CarMaker
    mark: str
    mixing: str
    old_stock: str
    evidence: Evidence | None
    why: str


def make_mark(*, by: User, at: datetime, **values: Unpack[MarkValues]) -> IssuerMark:
    """Enter what a car maker says of its mark. Raises Faulty."""
    return MARKS.make(values, by=by, at=at)


def change_mark(
    *,
    issuer_mark: IssuerMark,
    seen: int | None = None,
    by: User,
    at: datetime,
    **values: Unpack[MarkValues],
) -> IssuerMark:
    """Say something else of a mark; what was said before is kept.

    ``seen`` is the ``version_of`` the mark that the person looked at: raises StaleVersion where it
    is another now. Raises Faulty.
    """
    with transaction.atomic():
        held = MARKS.finder.locked(issuer_mark.pk)
        if seen is not None and version_of(held) != seen:
            raise StaleVersion
        return MARKS.change(held, values, by=by, at=at)


def version_of(mark: IssuerMark) -> int:
    """The number of the version that is known now."""
    rows = IssuerMarkVersion.objects.filter(issuer_mark=mark, known__upper_inf=True)
    return int(rows.values_list("pk", flat=True).get())
