"""The wheels on a customer's car: one row an axle, with the rim as typed and as read."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any, TypedDict

from inventory.ground.entries.columns import column_faults
from inventory.ground.entries.faults import Fault
from inventory.ground.entries.parts import Part
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
    touched = [entry for entry in entries if entry.is_new or entry.parts_changed]
    for axle in Axle.values:
        told = [entry for entry in touched if axle in entry.given]
        CarWheel.objects.filter(axle=axle, car__in=[entry.row.pk for entry in told]).delete()
        wheels = [_wanted(axle, entry) for entry in told]
        CarWheel.objects.bulk_create([one for one in wheels if one is not None], batch_size=1000)


def _wanted(axle: str, entry: Entry[Any]) -> CarWheel | None:
    values = entry.given[axle]
    return _wheel(axle, values, entry.row) if values else None


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


def _wheel_of(axle: str) -> Part:
    def held(cars: Collection[int]) -> dict[int, Any]:
        rows = CarWheel.objects.filter(axle=axle, car__in=cars)
        return {wheel.car_id: _plain(wheel) for wheel in rows}

    return Part(axle, lambda entry: _plain(_wanted(axle, entry)), held, nothing=None)


WHEELS = tuple(_wheel_of(axle) for axle in Axle.values)
