"""Two deliveries of the demo's day: one booked in with something wrong in it, one half read."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from inventory.activities import receiving
from inventory.markings.datecode import week_of
from inventory.models.delivery import Delivery, Disagreement
from inventory.models.lot import Lot
from inventory.models.place import Place
from inventory.models.purchase import PurchaseOrder
from inventory.models.sku import Sku

BOOKED, HALF_READ = "TM 4471", "AT 20916"
AGREED = "France"


def deliveries(*, at: datetime) -> str:
    """Book them, once; what was done, in words."""
    if Delivery.objects.filter(note_number__in=[BOOKED, HALF_READ]).exists():
        return "there already"
    by = User.objects.get(username="warehouse")
    with transaction.atomic():
        _marked(by, at)
        _tubes(by, at)
    return "one booked in with three complaints, a fourth found later, one half read"


def _marked(by: User, at: datetime) -> None:
    """Of fourteen marked radials ten are right: two carry the issue before, one is damaged, one was
    made elsewhere than is agreed; and of the ten one has a bulge that was seen on the rack.
    """
    delivery = _opened("2026-094", BOOKED, by, at)
    sku = Sku.objects.get(code="COR-SIL-155R13-MBY2")
    today = timezone.localtime(at).date()
    receiving.note_says(delivery=delivery, sku=sku, quantity=14, by=by, at=at)
    for quantity, weeks, issue, found, country in (
        (6, 9, "2", "", AGREED),
        (4, 11, "2", "", AGREED),
        (1, 11, "2", "", "Spain"),
        (2, 40, "1", "", AGREED),
        (1, 9, "2", "damaged", AGREED),
    ):
        receiving.enter_line(
            delivery=delivery,
            sku=sku,
            quantity=quantity,
            date_code=_code(today - timedelta(weeks=weeks)),
            mark="MBY",
            mark_issue=issue,
            country=country,
            found=found,
            by=by,
            at=at,
        )
    receiving.finish(delivery=delivery, by=by, at=at)
    lot = Lot.objects.filter(delivery_lines__delivery=delivery, blocks=None).order_by("pk")[0]
    receiving.open_complaint(
        lot=lot,
        quantity=1,
        reason=Disagreement.DAMAGED.value,
        says="A bulge on the inner side, seen when it was put into the rack.",
        by=by,
        at=at,
    )


def _tubes(by: User, at: datetime) -> None:
    """Tubes, of which half are read: somebody else may take it up."""
    delivery = _opened("2026-097", HALF_READ, by, at)
    line = delivery.order.lines.order_by("pk").first() if delivery.order else None
    if line is not None:
        receiving.enter_line(delivery=delivery, sku=line.sku, quantity=20, by=by, at=at)


def _opened(order: str, note: str, by: User, at: datetime) -> Delivery:
    found = PurchaseOrder.objects.get(note__contains=f"as {order}.")
    return receiving.open_delivery(
        supplier=found.supplier,
        order=found,
        note_number=note,
        arrived_on=timezone.localtime(at).date(),
        place=Place.objects.get(code="IN-1"),
        by=by,
        at=at,
    )


def _code(day: date) -> str:
    """The date code of a tyre made on a day."""
    year, week = week_of(day)
    return f"{week:02}{year % 100:02}"
