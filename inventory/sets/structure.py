"""From a recipe and the shelf to the problem that the algorithms solve."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from itertools import combinations

from inventory.sets.alike import Alike, Key, alike
from inventory.sets.axles import AxlePlan, Pools, axle_plans, lone_options, options
from inventory.sets.eligible import usable
from inventory.sets.recipe import Anchor, Lot, Prefer, Recipe
from inventory.sets.stream import Stream
from inventory.sets.tree import Axle, Case, Cluster, Option, Part, Problem

Keyed = list[tuple[Key, Option]]


def problem(recipe: Recipe, lots: Iterable[Lot]) -> Problem:
    """What has to be solved for this recipe with these lots (others than its SKUs are ignored)."""
    rules = alike(recipe)
    plans = axle_plans(recipe, rules)
    pools = _pools(recipe, rules, plans, usable(recipe, lots))
    week_of = _week_of(recipe, pools)
    axles: list[tuple[Axle, Keyed]] = []
    for plan in plans:
        lone = plan.tyres == 1 and _shares_nothing(plan, plans)
        axles.append(_axle(recipe, plan, list((lone_options if lone else options)(plan, pools))))
    streams = [Stream((week_of[lot.week], lot.quantity) for lot in pool) for pool in pools.lots_of]
    parts = tuple(
        _part(recipe, rules, [plans[number] for number in part], [axles[number] for number in part])
        for part in _linked(
            len(plans), lambda one, other: _belong(recipe, rules, plans[one], plans[other])
        )
    )
    return Problem(parts, streams, pools.lots_of, week_of)


def _pools(recipe: Recipe, rules: Alike, plans: list[AxlePlan], lots: list[Lot]) -> Pools:
    handed: set[str | int] = set()
    one_delivery: set[str | int] = set()
    for plan in plans:
        for place in plan.members:
            if place.handed:
                handed.update(recipe.skus_at(place))
        if plan.axle.same_delivery:
            one_delivery.update(plan.all_skus())
    pools = Pools(rules, frozenset(handed))
    for lot in lots:
        pools.add(lot, lot.sku in one_delivery)
    return pools


def _week_of(recipe: Recipe, pools: Pools) -> dict[int | None, int]:
    """Weeks as the streams have them; an undated tyre counts as a week older than any other."""
    weeks = {lot.week for pool in pools.lots_of for lot in pool if lot.week is not None}
    sign = -1 if recipe.prefer is Prefer.NEWEST else 1
    week_of: dict[int | None, int] = {week: sign * week for week in weeks}
    week_of[None] = sign * (min(weeks, default=1) - 1)
    return week_of


def _axle(recipe: Recipe, plan: AxlePlan, keyed: Keyed) -> tuple[Axle, Keyed]:
    """The axle without its options, which are handed out case by case."""
    car = None if plan.axle.apart else recipe.car_tolerance_weeks
    tolerance = plan.axle.tolerance_weeks
    if car is not None:
        tolerance = car if tolerance is None else min(tolerance, car)
    own = [anchor for anchor in recipe.anchors if recipe.axle_of(anchor.place) is plan.axle]
    round_car = [anchor for anchor in recipe.anchors if _on_car(recipe, anchor)]
    earliest, latest = _narrowed(_open(own, tolerance), _open(round_car, car))
    if earliest is not None and latest is not None and earliest > latest:
        keyed = []
    for anchors, width in ((own, tolerance), (round_car, car)):
        if too_far_apart(anchors, width):
            keyed = []
    if recipe.prefer is Prefer.NEWEST:
        earliest, latest = (
            None if latest is None else -latest,
            None if earliest is None else -earliest,
        )
    places = tuple(place.name for place in plan.members)
    return Axle(None if plan.tyres == 1 else tolerance, earliest, latest, (), places), keyed


def _on_car(recipe: Recipe, anchor: Anchor) -> bool:
    home = recipe.axle_of(anchor.place)
    return home is None or not home.apart


def _open(anchors: list[Anchor], width: int | None) -> tuple[int | None, int | None]:
    """Weeks within `width` of every tyre on the car.

    With these bounds, and the new tyres within `width` of each other, the whole is within it: the
    newest and the oldest are either both new, both on the car, or one of each.
    """
    weeks = [anchor.week for anchor in anchors if anchor.week is not None]
    if width is None or not weeks:
        return None, None
    return max(weeks) - width, min(weeks) + width


def too_far_apart(anchors: Iterable[Anchor], width: int | None) -> bool:
    """Whether the tyres on the car break the tolerance by themselves."""
    weeks = [anchor.week for anchor in anchors if anchor.week is not None]
    return width is not None and bool(weeks) and max(weeks) - min(weeks) > width


def _narrowed(
    one: tuple[int | None, int | None], other: tuple[int | None, int | None]
) -> tuple[int | None, int | None]:
    lows = [low for low in (one[0], other[0]) if low is not None]
    highs = [high for high in (one[1], other[1]) if high is not None]
    return max(lows, default=None), min(highs, default=None)


def _shares_nothing(plan: AxlePlan, plans: list[AxlePlan]) -> bool:
    return not any(plan.all_skus() & other.all_skus() for other in plans if other is not plan)


def _belong(recipe: Recipe, rules: Alike, one: AxlePlan, other: AxlePlan) -> bool:
    """Whether two axles cannot be looked at one by one."""
    together = recipe.car_tolerance_weeks is not None or any(rules.round_car)
    return bool(one.all_skus() & other.all_skus()) or (
        together and not one.axle.apart and not other.axle.apart
    )


def _part(
    recipe: Recipe, rules: Alike, plans: list[AxlePlan], axles: list[tuple[Axle, Keyed]]
) -> Part:
    """One case for each thing that has to be the same round the car."""
    by_key: list[dict[Key, list[Option]]] = []
    for _, keyed in axles:
        cases: dict[Key, list[Option]] = {}
        for key, option in keyed:
            cases.setdefault(rules.car_key(key), []).append(option)
        by_key.append(cases)
    width = recipe.car_tolerance_weeks if len(axles) > 1 else None
    return tuple(
        _case(
            plans,
            [
                replace(axle, options=tuple(cases[key]))
                for (axle, _), cases in zip(axles, by_key, strict=True)
            ],
            width,
        )
        for key in by_key[0]
        if all(key in cases for cases in by_key)
    )


def _case(plans: list[AxlePlan], axles: list[Axle], width: int | None) -> Case:
    if width is not None:
        return (Cluster(tuple(axles), width),)
    groups = _linked(
        len(axles), lambda one, other: bool(plans[one].all_skus() & plans[other].all_skus())
    )
    return tuple(Cluster(tuple(axles[number] for number in group), None) for group in groups)


def _linked(size: int, belong: Callable[[int, int], bool]) -> list[list[int]]:
    """0 to size - 1 in groups, two of a group being joined by a chain of those that belong."""
    group = list(range(size))
    for one, other in combinations(range(size), 2):
        if group[one] != group[other] and belong(one, other):
            old, new = group[other], group[one]
            group = [new if number == old else number for number in group]
    return [[n for n in range(size) if group[n] == name] for name in dict.fromkeys(group)]
