"""What the counter is told of tyres on order: kept in step with the order lines."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from django.contrib.auth.models import User

from inventory.models.expected import ExpectedDelivery, ExpectedState
from inventory.models.purchase import PurchaseLine, PurchaseOrder
from inventory.models.supplier_terms import SupplierTerms

USUAL_LEAD = timedelta(days=28)
"""For a SKU of which no terms are told, and that is of no batch; common practice, no source."""


def day_of(order: PurchaseOrder, terms: SupplierTerms | None, today: date) -> date:
    """The day on which what is ordered today may be expected: the batch's, else by lead time."""
    if order.batch is not None:
        return order.batch.ready_on
    return today + (timedelta(days=terms.lead_time_days) if terms else USUAL_LEAD)


def follow(line: PurchaseLine, *, by: User, at: datetime) -> None:
    """Have what is expected say what is still to come of a line of a locked order."""
    expected = line.expected
    if expected is not None and expected.state != ExpectedState.EXPECTED:
        expected = None
    if line.to_come and expected is None:
        _expect(line, by=by, at=at)
    elif line.to_come and expected is not None:
        expected.quantity = line.to_come
        expected.expected_on = line.expected_on or expected.expected_on
        expected.save(update_fields=["quantity", "expected_on"])
    elif expected is not None:
        came = bool(line.received or line.over)
        expected.state = ExpectedState.ARRIVED if came else ExpectedState.CANCELLED
        expected.ended_at, expected.ended_by = at, by
        expected.save(update_fields=["state", "ended_at", "ended_by"])


def _expect(line: PurchaseLine, *, by: User, at: datetime) -> None:
    number = line.order.number
    like = ExpectedDelivery.objects.filter(sku=line.sku_id, reference__startswith=number)
    times = like.count()
    day = line.expected_on
    assert day is not None  # noqa: S101 - sending gives every line its day
    line.expected = ExpectedDelivery.objects.create(
        sku_id=line.sku_id,
        quantity=line.to_come,
        expected_on=day,
        first_expected_on=day,
        reference=f"{number}/{times + 1}" if times else number,
        made_at=at,
        made_by=by,
    )
    line.save(update_fields=["expected"])
