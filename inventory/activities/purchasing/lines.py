"""Lines of a purchase order, as a draft and when it is sent."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import TypedDict, Unpack

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from inventory.activities.purchasing.expecting import day_of, follow
from inventory.activities.purchasing.locking import changed, locked
from inventory.activities.purchasing.pricing import price_of
from inventory.activities.purchasing.refusals import FewerThanCame, NoSuchLine
from inventory.ground.entries.alone import refuse_faulty
from inventory.ledger.moves import some
from inventory.models.purchase import PurchaseLine, PurchaseOrder, PurchaseState
from inventory.models.sku import Sku
from inventory.models.supplier_terms import SupplierTerms

THE_REST = "the rest was taken off the order"


class LineValues(TypedDict, total=False):
    """What can be said of an order line besides how many of what.

    Left out of a new line: the price by the supplier's breaks, the day by batch or lead time when
    it is sent, the age by the supplier's terms.
    """

    unit_price: Decimal | None
    expected_on: date | None
    oldest_months: int | None


def set_line(
    *,
    order: PurchaseOrder,
    sku: Sku,
    quantity: int,
    seen: int | None = None,
    by: User,
    at: datetime,
    **values: Unpack[LineValues],
) -> PurchaseLine:
    """Say how many of a SKU an order is for: a new line, or the one that is there, changed.

    Raises NoneAsked, NotWhole, TooMany, Faulty, FewerThanCame, OrderHasEnded, ChangedSince.
    """
    some(quantity)
    with transaction.atomic():
        held = locked(order, seen=seen)
        line = held.lines.filter(sku=sku).first() or _fresh(held, sku, quantity)
        line.order = held
        if quantity < line.quantity - line.to_come:
            raise FewerThanCame(line)
        line.quantity = quantity
        for name, value in values.items():
            setattr(line, name, value)
        if held.state != PurchaseState.DRAFT and line.expected_on is None:
            today = timezone.localtime(at).date()
            line.expected_on = day_of(held, _terms(held, sku), today)
        refuse_faulty(line, ("quantity", "unit_price", "expected_on", "oldest_months"))
        line.save()
        if held.state != PurchaseState.DRAFT:
            follow(line, by=by, at=at)
        changed(held, by=by, at=at)
    return line


def _terms(order: PurchaseOrder, sku: Sku) -> SupplierTerms | None:
    return SupplierTerms.objects.filter(supplier=order.supplier_id, sku=sku).first()


def drop_line(
    *, order: PurchaseOrder, sku: Sku, seen: int | None = None, by: User, at: datetime
) -> None:
    """Take a SKU off a draft; of an order that is sent, what is still to come of it will not come.

    Raises NoSuchLine, OrderHasEnded, ChangedSince.
    """
    with transaction.atomic():
        held = locked(order, seen=seen)
        line = held.lines.filter(sku=sku).first()
        if line is None:
            raise NoSuchLine(held, sku)
        if held.state == PurchaseState.DRAFT:
            line.delete()
        else:
            line.order = held
            waive(line, by=by, at=at)
        changed(held, by=by, at=at, why=THE_REST)


def waive(line: PurchaseLine, *, by: User, at: datetime) -> None:
    """What is still to come of a line of a locked order will not come."""
    line.waived += line.to_come
    line.save(update_fields=["waived"])
    follow(line, by=by, at=at)


def _fresh(order: PurchaseOrder, sku: Sku, quantity: int) -> PurchaseLine:
    line = PurchaseLine(order=order, sku=sku, quantity=quantity)
    terms = _terms(order, sku)
    if terms is not None:
        line.oldest_months = terms.oldest_months
        if terms.currency == order.currency:
            breaks = list(terms.breaks.order_by("pk").values_list("from_quantity", "unit_price"))
            line.unit_price = price_of(breaks, quantity)
    return line
