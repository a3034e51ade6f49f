"""A customer complains of tyres that left with one despatch."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.complaining.refusals import MoreThanWereSent, NotSentYet, SayWhatIsWrong
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.violations import named_violation
from inventory.ledger.moves import some
from inventory.models.complaint import CustomerComplaint
from inventory.models.despatch import DespatchLine


def open_complaint(
    *,
    despatch_line: DespatchLine,
    quantity: int = 1,
    says: str,
    tread_left_mm: Decimal | None = None,
    by: User,
    at: datetime,
) -> CustomerComplaint:
    """Write down what a customer says is wrong with so many tyres of one line of a despatch.

    Raises SayWhatIsWrong, NoneAsked, NotWhole, TooMany, MoreThanWereSent, NotSentYet, Faulty.
    """
    if not says.strip():
        raise SayWhatIsWrong
    line = DespatchLine.objects.select_related("despatch", "lot").get(pk=despatch_line.pk)
    if some(quantity) > line.quantity:
        raise MoreThanWereSent(line, quantity)
    if at < line.despatch.despatched_at:
        raise NotSentYet(line.despatch)
    made = CustomerComplaint(
        customer_id=line.despatch.customer_id,
        despatch_line=line,
        lot=line.lot,
        quantity=quantity,
        says=says.strip(),
        tread_left_mm=tread_left_mm,
        opened_at=at,
        opened_by=by,
    )
    refuse_faulty(made, ["says", "tread_left_mm"])
    with transaction.atomic(), named_violation():
        made.save(force_insert=True)
    return made
