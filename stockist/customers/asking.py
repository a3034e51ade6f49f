"""From a customer's car straight to the counter's answer for it, as it stands."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from django.db.models import Prefetch
from django.urls import reverse

from fitments.models.car import IdentifiedCar, Variant
from inventory.models.customer import CarWheel, CustomerCar
from inventory.models.sku import Sku
from stockist.counter.wording import title_of

TUBED = {True: "true", False: "false"}
# What a car is told with.
WHEELS = Prefetch(
    "wheels",
    CarWheel.objects.order_by("axle").prefetch_related(Prefetch("tyre", Sku.objects.with_names())),
)


@dataclass(frozen=True, slots=True)
class WheelSaid:
    """One axle in words, and where one more tyre like the one on it is asked for, "" if nowhere."""

    words: str
    one_more: str
    axle: str


@dataclass(frozen=True, slots=True)
class CarSaid:
    """A customer's car with the address of the counter's answer."""

    car: CustomerCar
    variant: Variant | None
    wheels: tuple[WheelSaid, ...]
    answer: str


def variants_of(cars: Iterable[CustomerCar]) -> dict[int, Variant]:
    """Which variant each car is, where somebody found out. One query."""
    rows = IdentifiedCar.objects.filter(customer_car__in=[car.pk for car in cars])
    found = rows.select_related("variant__vehicle_line__maker").order_by("pk")
    return {row.customer_car_id: row.variant for row in found}


def cars_said(cars: Sequence[CustomerCar]) -> list[CarSaid]:
    """Cars in words; their wheels are fetched with them. One query more."""
    known = variants_of(cars)
    return [car_said(car, list(car.wheels.all()), known) for car in cars]


def car_said(car: CustomerCar, wheels: list[CarWheel], known: Mapping[int, Variant]) -> CarSaid:
    """One car in words."""
    variant = known.get(car.pk)
    said = [_wheel_said(wheel, address_of(car, wheels, variant)) for wheel in wheels]
    return CarSaid(car, variant, tuple(said), address_of(car, wheels, variant))


def address_of(car: CustomerCar, wheels: Sequence[CarWheel], variant: Variant | None) -> str:
    """Where the counter answers for this car: as listed, with the wheels that are on it."""
    asked: dict[str, object] = {"for_car": car.pk}
    if car.built_on:
        asked["built"] = car.built_on.isoformat()
    for wheel in wheels:
        asked |= _asked_of(wheel, sizes=variant is None)
    if variant is not None:
        return f"{reverse('counter:car', args=[variant.code])}?{urlencode(asked)}"
    return f"{reverse('counter:wheels')}?{urlencode(asked | {'car': car.description[:80]})}"


def _asked_of(wheel: CarWheel, *, sizes: bool) -> dict[str, object]:
    asked: dict[str, object] = {f"{wheel.axle}_rim": wheel.rim_text}
    if wheel.width_in is not None:
        asked[f"{wheel.axle}_width"] = wheel.width_in
    if wheel.rim_kind:
        asked["rim_kind"] = wheel.rim_kind
    if wheel.tubed is not None:
        asked["tubed"] = TUBED[wheel.tubed]
    if sizes and wheel.tyre is not None:
        asked[f"{wheel.axle}_size"] = wheel.tyre.size
    return asked


def _wheel_said(wheel: CarWheel, answer: str) -> WheelSaid:
    width = f" x {wheel.width_in.normalize():f} in" if wheel.width_in else ""
    parts = [
        f"rim {wheel.rim_text}{width}",
        wheel.get_rim_kind_display() if wheel.rim_kind else "",
        {True: "tubed", False: "tubeless"}.get(wheel.tubed, "") if wheel.tubed is not None else "",
        title_of(wheel.tyre) if wheel.tyre else "tyre not known",
        f"of {wheel.date_code}" if wheel.date_code else "",
    ]
    more = ""
    if wheel.tyre and wheel.date_code:
        like = {"anchor_axle": wheel.axle, "anchor_code": wheel.date_code}
        more = f"{answer}&{urlencode({'wanted': f'one-{wheel.axle}', **like})}"
    return WheelSaid(", ".join(part for part in parts if part), more, wheel.axle)
