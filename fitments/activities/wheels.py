"""The wheels that a variant could be had with, and the pressures that a source states for it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal
from typing import TypedDict, Unpack

from django.contrib.auth.models import User

from fitments.models.car import Pressure, Variant, WheelOption
from inventory.ground.entries.faults import Fault
from inventory.ground.entries.register import Register, Values
from inventory.markings import UnreadableMarking, read_size, rim_from

# Seats that allow any diameter; every other seat follows from the mark of the rim.
_NAMED_SEATS = ("beaded edge", "straight side")


class WheelOptionValues(TypedDict, total=False):
    """What can be said of a wheel for one axle: rim as typed ("15", "380"), width in inches."""

    variant: Variant
    name: str
    axle: str
    rim_text: str
    width_in: Decimal | None
    bead: str
    rim_kind: str
    tubed: bool | None
    standard: bool


class PressureValues(TypedDict, total=False):
    """What a source states: a pressure in kPa for an axle, a size and an occasion."""

    variant: Variant
    axle: str
    size: str
    condition: str
    kpa: int
    source: str


def _read_rim(wheel: WheelOption, given: Values) -> Iterator[Fault]:
    seat = wheel.bead if wheel.bead.casefold() in _NAMED_SEATS else None
    try:
        rim = rim_from(wheel.rim_text, seat and seat.casefold())
    except UnreadableMarking as error:
        yield Fault("rim_text", str(error))
        return
    said = given.get("bead") or rim.bead
    if said.casefold() != rim.bead:
        yield Fault("bead", f"A rim of {wheel.rim_text} has the seat “{rim.bead}”, not “{said}”.")
    wheel.rim_mm, wheel.bead = rim.diameter_mm, rim.bead
    if wheel.width_in is not None and not 1 <= wheel.width_in <= 20:
        yield Fault("width_in", f"{wheel.width_in} in is not the width of a car's rim.")


WHEELS = Register(WheelOption, key=("variant", "name", "axle"), derive=_read_rim)


class PressureRegister(Register[Pressure]):
    """Pressures by what they are for."""

    def completed(self, given: Values) -> tuple[Values, list[Fault]]:
        """The size is kept as read, so that it is part of what a pressure is known by."""
        try:
            size = read_size(given["size"]).canonical if given.get("size") else ""
        except UnreadableMarking as error:
            return given, [Fault("size", str(error))]
        return ({**given, "size": size} if "size" in given else given), []


PRESSURES = PressureRegister(Pressure, key=("variant", "axle", "size", "condition"))


def make_wheel_option(
    *, by: User, at: datetime, **values: Unpack[WheelOptionValues]
) -> WheelOption:
    """Enter a wheel for one axle of a variant. Raises Faulty."""
    return WHEELS.make(values, by=by, at=at)


def change_wheel_option(
    *, wheel: WheelOption, by: User, at: datetime, **values: Unpack[WheelOptionValues]
) -> WheelOption:
    """Change what is given of a wheel. Raises Faulty."""
    return WHEELS.change(wheel, values, by=by, at=at)


def make_pressure(*, by: User, at: datetime, **values: Unpack[PressureValues]) -> Pressure:
    """Enter a pressure as its source states it. Raises Faulty."""
    return PRESSURES.make(values, by=by, at=at)


def change_pressure(
    *, pressure: Pressure, by: User, at: datetime, **values: Unpack[PressureValues]
) -> Pressure:
    """Change what is given of a pressure. Raises Faulty."""
    return PRESSURES.change(pressure, values, by=by, at=at)
