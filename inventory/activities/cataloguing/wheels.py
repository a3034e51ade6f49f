"""The wheels on a customer's car: one row an axle, with the rim as typed and as read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any, TypedDict

from inventory.ground.entries.columns import column_faults
from inventory.ground.entries.faults import Fault
from inventory.ground.entries.register import Entry
from inventory.ground.entries.rules import broken_rules
from inventory.markings import UnreadableMarking, rim_from
from inventory.models.customer import Axle, CarWheel, CustomerCar
from inventory.models.sku import Sku, SkuKind

_COLUMNS = ("rim_text", "width_in", "rim_kind", "tubed", "date_code")


class WheelValues(TypedDict, total=False):
    """The wheel and the tyre on one axle: rim diameter as typed ("15", "380"), width in inches."""

    rim_text: str
    width_in: Decimal | None
    rim_kind: str
    tubed: bool | None
    tyre: Sku | None
    date_code: str


def wheel_faults(axle: str, values: Mapping[str, Any]) -> Iterator[Fault]:
    """What is wrong with the wheel of an axle; the fields of the faults are ``axle.field``."""
    wheel = _wheel(axle, values)
    faults = [*column_faults(wheel, [name for name in _COLUMNS if name in values])]
    try:
        rim_from(wheel.rim_text)
    except UnreadableMarking as error:
        faults.append(Fault("rim_text", str(error)))
    if wheel.tyre is not None and wheel.tyre.kind != SkuKind.TYRE:
        faults.append(Fault("tyre", f"{wheel.tyre} is no tyre."))
    for fault in faults or broken_rules(wheel):
        yield Fault(f"{axle}.{fault.field}", fault.words)


def write_wheels(entries: Sequence[Entry[CustomerCar]]) -> None:
    """Give each axle that was told of exactly the wheel that was given for it, or none."""
    told = [(entry, axle) for entry in entries for axle in Axle.values if axle in entry.given]
    cars = {entry.row.pk for entry, _ in told}
    held = {(w.car_id, w.axle): w for w in CarWheel.objects.filter(car_id__in=cars)}
    fresh, gone = [], []
    for entry, axle in told:
        values = entry.given[axle]
        wheel = _wheel(axle, values, entry.row) if values else None
        before = held.get((entry.row.pk, axle))
        if _plain(wheel) == _plain(before):
            continue
        entry.parts_changed = True
        if before is not None:
            gone.append(before.pk)
        if wheel is not None:
            fresh.append(wheel)
    CarWheel.objects.filter(pk__in=gone).delete()
    CarWheel.objects.bulk_create(fresh, batch_size=1000)


def _wheel(axle: str, values: Mapping[str, Any], car: CustomerCar | None = None) -> CarWheel:
    wheel = CarWheel(axle=axle, width_in=None, tubed=None)
    for name, value in values.items():
        setattr(wheel, name, value)
    if car is not None:
        rim = rim_from(wheel.rim_text)
        wheel.car, wheel.rim_mm, wheel.bead = car, rim.diameter_mm, rim.bead
    return wheel


def _plain(wheel: CarWheel | None) -> tuple[Any, ...] | None:
    if wheel is None:
        return None
    return (*(getattr(wheel, name) for name in _COLUMNS), wheel.tyre_id, wheel.rim_mm, wheel.bead)
