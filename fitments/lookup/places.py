"""Places on many cars as one tyre comes to them, made of plain rows.

A page of cars has a hundred variants with thousands of rows; of most a tyre wants to know only
that they are there. What a car is listed with besides the tyre's own size is made into values only
where the rules look at it: see `fitments.rules.round.surely_listed`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import date
from typing import Any

from fitments.lookup.of_size import Approvals
from fitments.lookup.spots import ROWS, fitted_size, papers_of, stated_pressure
from fitments.lookup.tyres import size_read
from fitments.models.car import Variant
from fitments.models.fitment import Standing
from fitments.rules.measures import tyre_keys
from fitments.rules.values import Axle, DaySpan, FittedSize, RimKind, Spot, Tyre
from fitments.rules.values import Standing as FittedStanding
from fitments.rules.values.span import ALWAYS
from inventory.ground.planned import Planned
from inventory.ground.together import Later

_SEEN = {
    "wheel_options": (
        *("axle", "standard", "name", "rim_mm", "bead", "width_in", "rim_kind", "tubed"),
    ),
    "fitments": (
        *("axle", "wheel", "size", "size_keys", "standing", "combination", "built_from"),
        *("built_to", "least_load_index", "least_speed", "source"),
    ),
    "pressures": ("axle", "kpa", "size", "condition", "source"),
}
_STANDS = dict(Standing.choices)
_ORDER = tuple(FittedStanding)
BY_APPROVAL = "approved by the car's maker"
Period = tuple[DaySpan, str]
"""Cars built in these days, and on whose word the tyre is on them."""
Rows = dict[tuple[int, str], list[Any]]
"""By variant and axle."""


def _rows_of(name: str) -> Callable[[list[int]], Later[list[Any]]]:
    rows, columns = ROWS[name], _SEEN[name]
    planned: Planned[Any] = Planned(
        lambda variants: rows.filter(variant__in=variants).values_list(
            "variant_id", *columns, named=True
        ),
        [int],
    )
    return lambda variants: Later(planned.asked(variants))


_wheels, _fitments, _pressures = map(_rows_of, _SEEN)


class Reading:
    """What is read of some variants for `Places`: made where statements are sent together."""

    def __init__(self, variants: Iterable[Variant]) -> None:
        keys = [one.id for one in variants]
        self.wheels, self.fitments = _wheels(keys), _fitments(keys)
        self.pressures = _pressures(keys)


class Places:
    """The places of some variants for one tyre, with the approvals of its size."""

    def __init__(self, tyre: Tyre, read: Reading, approvals: Approvals) -> None:
        self._keys = tyre_keys(tyre)
        self._wheels = {
            key: rows[0]
            for key, rows in _sorted(row for row in read.wheels.told() if row.standard).items()
        }
        self._fitments = _sorted(read.fitments.told())
        self._own = {
            key: [row for row in rows if not self._keys.isdisjoint(row.size_keys)]
            for key, rows in self._fitments.items()
        }
        self._pressures = {
            key: tuple(map(stated_pressure, rows))
            for key, rows in _sorted(read.pressures.told()).items()
        }
        self._approvals = approvals
        self._surely: dict[tuple[Any, ...], tuple[FittedSize, ...]] = {}

    def periods(self, variant: Variant, axle: Axle) -> list[Period]:
        """The build periods for which the tyre's size is listed, or the whole if it is approved."""
        found: dict[tuple[date | None, date | None], str] = {}
        for row in self._own.get((variant.id, axle), ()):
            first = _either(max, row.built_from, variant.built_from)
            last = _either(min, row.built_to, variant.built_to)
            if first is None or last is None or first <= last:
                found.setdefault((first, last), _STANDS[row.standing])
        if not found and any(
            not self._keys.isdisjoint(fact.keys)
            for fact in self._approvals.of_size(variant.vehicle_line_id, axle)
        ):
            found[variant.built_from, variant.built_to] = BY_APPROVAL
        return [(DaySpan(*days), standing) for days, standing in found.items()]

    def spot(self, variant: Variant, axle: Axle, built: DaySpan) -> Spot:
        """The place on cars built in these days, as `spots.spot_of` has it of the listed wheel.

        Without the sizes that no rule looks at for this tyre.
        """
        front, key = axle is Axle.FRONT, (variant.id, axle.value)
        wheel = self._wheels.get(key)
        return Spot(
            axle=axle,
            axle_load_kg=variant.front_axle_kg if front else variant.rear_axle_kg,
            wheels=variant.front_wheels if front else variant.rear_wheels,
            top_speed_kmh=variant.top_speed_kmh,
            pressures=self._pressures.get(key, ()),
            built=built,
            fitted=self._fitted(key, built, wheel.name if wheel else ""),
            arch_room_mm=variant.arch_overall_max_mm,
            approvals=self._approvals.here(variant.vehicle_line_id, axle),
            competition=variant.competition,
            racing=papers_of(variant),
            rim_mm=wheel.rim_mm if wheel else None,
            bead=wheel.bead if wheel else "",
            width_in=wheel.width_in if wheel else None,
            rim_kind=RimKind(wheel.rim_kind) if wheel else RimKind.UNKNOWN,
            tubed=wheel.tubed if wheel else None,
        )

    def _fitted(self, key: tuple[int, str], built: DaySpan, wheel: str) -> tuple[FittedSize, ...]:
        """The surest listing of the tyre's size, where there is one; else all that is listed."""
        sure = [
            row
            for row in self._own.get(key, ())
            if row.wheel in ("", wheel) and _for_all(built, row) and size_read(row.size)
        ]
        rows = self._fitments.get(key, ())
        if sure and all(row.size_keys for row in rows):
            return self._alone(min(sure, key=_rank))
        found = (fitted_size(row) for row in rows if row.wheel in ("", wheel))
        return tuple(one for one in found if one is not None)

    def _alone(self, row: Any) -> tuple[FittedSize, ...]:
        """A listing that is for every car of the days asked about: as good as one for any days."""
        says = (row.size, row.standing, row.least_load_index, row.least_speed, row.source)
        key = (*says, *row.size_keys)
        known = self._surely.get(key)
        if known is None:
            found = fitted_size(row)
            alone = (replace(found, built=ALWAYS),) if found else ()
            known = self._surely[key] = alone
        return known


def _sorted(rows: Iterable[Any]) -> Rows:
    found: Rows = defaultdict(list)
    for row in rows:
        found[row.variant_id, row.axle].append(row)
    return found


def _rank(row: Any) -> int:
    return _ORDER.index(row.standing)


def _for_all(built: DaySpan, row: Any) -> bool:
    """Whether a listing is for every car of these days."""
    first, last = row.built_from, row.built_to
    if first is not None and (built.first is None or built.first < first):
        return False
    return last is None or (built.last is not None and built.last <= last)


def _either(
    of_both: Callable[[date, date], date], one: date | None, other: date | None
) -> date | None:
    """The one of two days that is there, or what is wanted of both; None is no limit."""
    if one is None or other is None:
        return other if one is None else one
    return of_both(one, other)
