"""What was sold for which car, read from the database: for all sets of a despatch at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from fitments.lookup.spots import TypedWheel, with_places
from fitments.lookup.tyres import size_read, tyre_of, with_all
from fitments.models.car import IdentifiedCar, Variant
from fitments.models.organiser import CompetitionClass
from fitments.rules.values import Axle, Condition, DaySpan, Made, Market, RimKind, Tyre, Use
from inventory.models.customer import CarWheel, CustomerCar
from inventory.models.lot import Lot
from inventory.models.sku import Sku, SkuKind
from inventory.release import LeavingSet, age_limit_of

SPARE = "spare"


@dataclass(frozen=True, slots=True)
class Car:
    """One customer's car: which variant it is, when it was built, the wheels now on it."""

    variant: Variant
    built: DaySpan
    wheels: Mapping[Axle, TypedWheel]


@dataclass(frozen=True, slots=True)
class Sold:
    """One set with its car (None where it is not known) and its tyres by place on the car.

    tyres: each with the lot that it is of; those of no axle stand under "". limit_months: how old
    they may be by the customer's wish on the day that they leave; None where nothing was said.
    """

    asked: LeavingSet
    car: Car | None
    use: Use
    market: Market
    competition_class: CompetitionClass | None
    tyres: Mapping[str, tuple[tuple[int, Tyre], ...]]
    limit_months: int | None = None


def read(sets: Sequence[LeavingSet]) -> list[Sold]:
    """Every set with its car and its tyres. The number of queries does not grow with the sets."""
    lots = Lot.objects.in_bulk({one.lot_id for each in sets for one in each.tyres})
    skus = with_all(Sku.objects.filter(pk__in={lot.sku_id for lot in lots.values()}))
    tyres = {sku.pk: tyre_of(sku) for sku in skus.order_by("pk") if sku.kind == SkuKind.TYRE}
    cars = _cars({each.car_id for each in sets if each.car_id is not None})
    codes = {str(each.answer.get("class", "")) for each in sets} - {""}
    classes = {
        one.code: one
        for one in CompetitionClass.objects.filter(code__in=codes).select_related("organiser")
    }
    return [_sold(each, lots, tyres, cars, classes) for each in sets]


def _sold(
    asked: LeavingSet,
    lots: Mapping[int, Lot],
    tyres: Mapping[int, Tyre],
    cars: Mapping[int, Car],
    classes: Mapping[str, CompetitionClass],
) -> Sold:
    placed: dict[str, list[tuple[int, Tyre]]] = {}
    for one in asked.tyres:
        lot = lots[one.lot_id]
        if lot.sku_id in tyres:
            placed.setdefault(one.for_place, []).append((lot.pk, _as_it_is(tyres[lot.sku_id], lot)))
    return Sold(
        asked,
        cars.get(asked.car_id) if asked.car_id is not None else None,
        _one_of(Use, asked.answer.get("use"), Use.ROAD),
        _one_of(Market, asked.answer.get("market"), Market.GB),
        classes.get(str(asked.answer.get("class", ""))),
        {place: tuple(some) for place, some in placed.items()},
        age_limit_of(asked.answer),
    )


def _as_it_is(tyre: Tyre, lot: Lot) -> Tyre:
    """The tyre with what was seen on it: its own mark, which may not be the one of its SKU."""
    return replace(tyre, made=made_of(lot), mark=lot.mark, mark_issue=lot.mark_issue)


def _one_of(values: Any, said: object, otherwise: Any) -> Any:
    return values(said) if said in {one.value for one in values} else otherwise


def made_of(lot: Lot) -> Made:
    """When the tyres of a lot were made, as rules see it."""
    return Made(
        date_code=lot.date_code,
        first_day=lot.first_day,
        last_day=lot.last_day,
        earliest=lot.earliest,
        latest=lot.latest,
        condition=Condition(lot.condition),
        buffed_to_mm=lot.buffed_to_mm,
    )


def _cars(keys: set[int]) -> dict[int, Car]:
    known = dict(
        IdentifiedCar.objects.filter(customer_car__in=keys).values_list("customer_car", "variant")
    )
    variants = with_places(Variant.objects.filter(pk__in=known.values())).in_bulk()
    built = dict(CustomerCar.objects.filter(pk__in=known).values_list("pk", "built_on"))
    wheels: dict[int, dict[Axle, TypedWheel]] = {}
    rows = CarWheel.objects.filter(car__in=known).select_related("tyre").order_by("pk")
    for wheel in rows:
        wheels.setdefault(wheel.car_id, {})[Axle(wheel.axle)] = _typed(wheel)
    return {
        car: Car(variants[variant], _span(variants[variant], built[car]), wheels.get(car, {}))
        for car, variant in known.items()
    }


def _span(variant: Variant, built_on: date | None) -> DaySpan:
    if built_on is not None:
        return DaySpan.day(built_on)
    return DaySpan(variant.built_from, variant.built_to)


def _typed(wheel: CarWheel) -> TypedWheel:
    return TypedWheel(
        rim_mm=wheel.rim_mm,
        bead=wheel.bead,
        width_in=wheel.width_in,
        rim_kind=RimKind(wheel.rim_kind),
        tubed=wheel.tubed,
        on_it=size_read(wheel.tyre.size) if wheel.tyre else None,
    )
