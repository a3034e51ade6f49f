"""A purchase order goes to its supplier: from then on its tyres are expected."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from inventory.activities.purchasing.expecting import day_of, follow
from inventory.activities.purchasing.judging import not_on_terms, terms_of
from inventory.activities.purchasing.locking import locked
from inventory.activities.purchasing.refusals import NotADraft, NothingOrdered, NotOnTheirTerms
from inventory.ground.entries.alone import refuse_faulty
from inventory.models.purchase import PurchaseOrder, PurchaseState


def send(
    *, order: PurchaseOrder, agreed: str = "", seen: int | None = None, by: User, at: datetime
) -> PurchaseOrder:
    """Send a draft. Each line is expected on its own day, else with its batch or its lead time.

    ``agreed`` says with whom it was agreed where the order is not on the supplier's terms. Raises
    NotADraft, NothingOrdered, NotOnTheirTerms (with every reason), Faulty, OrderHasEnded,
    ChangedSince.
    """
    today = timezone.localtime(at).date()
    with transaction.atomic():
        held = locked(order, seen=seen)
        if held.state != PurchaseState.DRAFT:
            raise NotADraft(held)
        lines = list(held.lines.select_related("sku").order_by("sku__code"))
        if not lines:
            raise NothingOrdered(held)
        why = not_on_terms(held, on=today)
        if why and not agreed.strip():
            raise NotOnTheirTerms(held, why)
        if why:
            held.note = " ".join(filter(None, [held.note, f"Agreed: {agreed.strip()}."]))
        refuse_faulty(held, ["note"])
        held.state, held.sent_at, held.sent_by = PurchaseState.SENT, at, by
        held.version += 1
        held.save(update_fields=["note", "state", "sent_at", "sent_by", "version"])
        terms = terms_of(held, lines)
        for line in lines:
            line.order = held
            line.expected_on = line.expected_on or day_of(held, terms.get(line.sku_id), today)
            line.save(update_fields=["expected_on"])
            follow(line, by=by, at=at)
    return held
