"""The ways each axle of a recipe can be served from the shelf."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import product

from inventory.sets.alike import Alike, Key, Wanted, fits
from inventory.sets.recipe import Lot, Recipe, RecipePlace, Side, Sku
from inventory.sets.tree import Option

BySide = dict[str, int]  # side -> stream


@dataclass(slots=True)
class Pools:
    """Lots that can stand in for one another, gathered; a stream is a position in lots_of."""

    alike: Alike
    handed: frozenset[Sku]
    lots_of: list[list[Lot]] = field(default_factory=list)
    totals: list[int] = field(default_factory=list)
    by_sku: dict[Sku, dict[Key, BySide]] = field(default_factory=dict)

    def add(self, lot: Lot, same_delivery: bool) -> None:
        """Put a lot with those that can stand in for it."""
        key = self.alike.key(lot, same_delivery)
        sides = self.by_sku.setdefault(lot.sku, {}).setdefault(key, {})
        side = (lot.side or "") if lot.sku in self.handed else ""
        stream = sides.get(side)
        if stream is None:
            stream = sides[side] = self.open()
        self.put(stream, lot)

    def open(self) -> int:
        """A new stream."""
        self.lots_of.append([])
        self.totals.append(0)
        return len(self.totals) - 1

    def put(self, stream: int, lot: Lot) -> None:
        """Add a lot to a stream."""
        self.lots_of[stream].append(lot)
        self.totals[stream] += lot.quantity


@dataclass(frozen=True, slots=True)
class AxlePlan:
    """An axle of the recipe with the places that join it, and what a tyre on it leaves open."""

    axle: RecipePlace
    members: tuple[RecipePlace, ...]
    wanted: Wanted
    skus: dict[str, tuple[Sku, ...]]  # by place, after what is on the car

    @property
    def tyres(self) -> int:
        """How many tyres it takes, places that join it included."""
        return sum(place.tyres for place in self.members)

    def all_skus(self) -> set[Sku]:
        """Every SKU that may serve any of its places."""
        return {sku for place in self.members for sku in self.skus[place.name]}


def axle_plans(recipe: Recipe, rules: Alike) -> list[AxlePlan]:
    """The axles of the recipe, in its order."""
    plans = []
    for axle in recipe.places:
        if axle.joins:
            continue
        members = (axle, *(place for place in recipe.places if place.joins == axle.name))
        skus = {place.name: _skus(recipe, place) for place in members}
        plans.append(AxlePlan(axle, members, rules.wanted(recipe, axle), skus))
    return plans


def _skus(recipe: Recipe, place: RecipePlace) -> tuple[Sku, ...]:
    """Acceptable SKUs, where a tyre of that place is on the car only its own."""
    fitted = {
        anchor.sku
        for anchor in recipe.anchors
        if anchor.place == place.name and anchor.sku is not None
    }
    allowed = dict.fromkeys(recipe.skus_at(place))
    return tuple(sku for sku in allowed if not fitted or fitted == {sku})


def options(plan: AxlePlan, pools: Pools) -> Iterator[tuple[Key, Option]]:
    """Every way to serve the axle, with the key that its tyres share."""
    owning = [place for place in plan.members if place.skus]
    for chosen in product(*(plan.skus[place.name] for place in owning)):
        sku_of = dict(zip((place.name for place in owning), chosen, strict=True))
        for key in pools.by_sku.get(chosen[0], {}):
            if not fits(plan.wanted, key):
                continue
            splits = []
            for number, place in enumerate(plan.members):
                sku = sku_of.get(place.name, chosen[0])
                if sku in plan.skus[place.name]:
                    sides = pools.by_sku.get(sku, {}).get(key, {})
                    splits.append(list(_splits(number, place, sides)))
                else:
                    splits.append([])
            for slots in product(*splits):
                option = _option(tuple(slot for part in slots for slot in part), pools.totals)
                if option:
                    yield key, option


def lone_options(plan: AxlePlan, pools: Pools) -> Iterator[tuple[Key, Option]]:
    """The same for an axle of a single tyre that shares its SKUs with no other.

    One tyre matches itself, so all lots that agree on what counts round the car are one stream,
    whatever their SKU.
    """
    place = plan.axle
    side = Side.LEFT if place.left else Side.RIGHT if place.right else ""
    streams: dict[Key, int] = {}
    for sku in plan.skus[place.name]:
        for key, sides in pools.by_sku.get(sku, {}).items():
            if not fits(plan.wanted, key):
                continue
            car_key = pools.alike.car_key(key)
            for its_side, source in sides.items():
                if side and its_side != side:
                    continue
                if car_key not in streams:
                    streams[car_key] = pools.open()
                for lot in pools.lots_of[source]:
                    pools.put(streams[car_key], lot)
    for car_key, stream in streams.items():
        yield car_key, Option(((stream, 1),), ((0, stream, 1),))


def _splits(
    number: int, place: RecipePlace, sides: BySide
) -> Iterator[tuple[tuple[int, int, int], ...]]:
    """Slots that serve the axle's place of that number: by side where handed, else any mixture."""
    if place.handed:
        wanted = ((Side.LEFT, place.left), (Side.RIGHT, place.right))
        if all(side in sides for side, count in wanted if count):
            yield tuple((number, sides[side], count) for side, count in wanted if count)
        return
    streams = list(sides.values())
    for counts in _compositions(place.count, len(streams)):
        pairs = zip(streams, counts, strict=True)
        yield tuple((number, stream, count) for stream, count in pairs if count)


def _compositions(total: int, parts: int) -> Iterator[tuple[int, ...]]:
    if parts == 0:
        return
    if parts == 1:
        yield (total,)
        return
    for first in range(total, -1, -1):
        for rest in _compositions(total - first, parts - 1):
            yield (first, *rest)


def _option(slots: tuple[tuple[int, int, int], ...], totals: list[int]) -> Option | None:
    needs: dict[int, int] = {}
    for _, stream, count in slots:
        needs[stream] = needs.get(stream, 0) + count
    if any(totals[stream] < count for stream, count in needs.items()):
        return None
    return Option(tuple(needs.items()), slots)
