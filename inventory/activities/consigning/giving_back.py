"""Giving back: tyres of a consignment leave for the consignor, on a paper with its number."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.consigning.lying import Part, kin_of, looked_over, written
from inventory.ground.locking import locked_row
from inventory.ground.violations import named_violation
from inventory.ledger.moves import Move
from inventory.ledger.post import post
from inventory.models.consignment import Consignment, ConsignmentStep, StepKind
from inventory.models.posting import PostingKind


def give_back(
    *, consignment: Consignment, parts: Sequence[Part], note: str = "", by: User, at: datetime
) -> list[ConsignmentStep]:
    """Book out what goes back to the consignor, blocked or not.

    Raises NothingNamed, NotPartOfIt, NoneAsked, NotWhole, TooMany, Faulty (a note too long),
    NotThatMany.
    """
    with transaction.atomic(), named_violation():
        row = locked_row(Consignment.objects.select_related("supplier"), consignment.pk)
        looked_over(row, kin_of(row), parts)
        moves = [Move(part.lot.pk, part.place.pk, -part.quantity) for part in parts]
        posting = post(
            kind=PostingKind.GIVE_BACK, lines=moves, by=by, at=at, document=row.number, note=note
        )
        gone = [(part, None, None) for part in parts]
        return written(row, StepKind.GIVEN_BACK, gone, posting=posting, by=by, at=at)
