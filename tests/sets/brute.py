"""Exhaustive search over small shelves: every valid set, the most disjoint ones, the best one.

Written from the meaning of a recipe, and sharing no code with what it checks. A set is a number
with four bits for each lot: how many tyres it takes of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import product

from inventory.sets import Anchor, Lot, Recipe, RecipePlace

Tyres = tuple[tuple[int, int], ...]  # (number of the lot, how many)
MOULDED = ("mark", "pattern_issue", "sidewall")


class Brute:
    """All valid sets of a recipe from these lots."""

    def __init__(self, recipe: Recipe, lots: Sequence[Lot]) -> None:
        assert all(0 <= lot.quantity < 8 for lot in lots)
        self.recipe = recipe
        self.lots = lots
        self.guard = sum(8 << 4 * number for number in range(len(lots)))
        self.stock = sum(lot.quantity << 4 * number for number, lot in enumerate(lots))
        dated = [lot.week for lot in lots if lot.week is not None and self._may(lot)]
        self.undated = min(dated, default=1) - 1
        self.sets = self._sets()
        self._memo: dict[int, int] = {}

    def most(self) -> int:
        """How many disjoint sets there are."""
        return self._most(self.stock)

    def _most(self, stock: int) -> int:
        if stock not in self._memo:
            guarded = stock | self.guard
            self._memo[stock] = max(
                (
                    1 + self._most(stock - one)
                    for one in self.sets
                    if (guarded - one) & self.guard == self.guard
                ),
                default=0,
            )
        return self._memo[stock]

    def best(self) -> tuple[int, int, list[tuple[int, str]]] | None:
        """(sum of weeks, places, those places in walking order) of the best set."""
        return min((self.rank(one) for one in self.sets), default=None)

    def rank(self, one: int) -> tuple[int, int, list[tuple[int, str]]]:
        """The smaller the better."""
        taken = [(lot, one >> 4 * n & 7) for n, lot in enumerate(self.lots) if one >> 4 * n & 7]
        stops = sorted({(lot.walk, lot.place) for lot, _ in taken})
        return sum(self._week(lot) * count for lot, count in taken), len(stops), stops

    def of(self, by_lot: dict[object, int]) -> int:
        """The number of a set given as how many of each lot key."""
        return sum(by_lot.get(lot.key, 0) << 4 * n for n, lot in enumerate(self.lots))

    def _week(self, lot: Lot) -> int:
        week = self.undated if lot.week is None else lot.week
        return -week if self.recipe.prefer == "newest" else week

    def _may(self, lot: Lot) -> bool:
        recipe = self.recipe
        if lot.quantity <= 0:
            return False
        if recipe.oldest_week is not None:
            if lot.week is None and not recipe.allow_undated:
                return False
            if lot.week is not None and lot.week < recipe.oldest_week:
                return False
        takers = [place for place in recipe.places if lot.sku in recipe.skus_at(place)]
        axles = [recipe.axle_of(place.name) for place in takers]
        return any(axle and (not axle.marks or lot.mark in axle.marks) for axle in axles)

    def _sets(self) -> list[int]:
        axles = [place for place in self.recipe.places if not place.joins]
        choices = [self._axle(axle) for axle in axles]
        on_car = [not axle.apart for axle in axles]
        found = set()
        for chosen in product(*choices):
            one = sum(self._code(tyres) for tyres in chosen)
            if any(count > self.lots[number].quantity for number, count in _added(chosen)):
                continue
            together = [tyres for tyres, here in zip(chosen, on_car, strict=True) if here]
            if self._car_agrees(together):
                found.add(one)
        return sorted(found)

    @staticmethod
    def _code(tyres: Tyres) -> int:
        return sum(count << 4 * number for number, count in tyres)

    def _axle(self, axle: RecipePlace) -> list[Tyres]:
        members = [axle, *(p for p in self.recipe.places if p.joins == axle.name)]
        anchors = [a for a in self.recipe.anchors if a.place in {m.name for m in members}]
        found = set()
        for sku in axle.skus:
            for parts in product(*(self._place(member, sku) for member in members)):
                tyres = _added(parts)
                if any(count > self.lots[number].quantity for number, count in tyres):
                    continue
                if self._axle_agrees(axle, tyres, anchors):
                    found.add(tyres)
        return sorted(found)

    def _place(self, place: RecipePlace, axle_sku: object) -> list[Tyres]:
        fitted = {a.sku for a in self.recipe.anchors if a.place == place.name and a.sku is not None}
        own = place.joins and place.skus
        found = []
        for sku in place.skus if own else (axle_sku,):
            if fitted and fitted != {sku}:
                continue
            numbers = [n for n, lot in enumerate(self.lots) if lot.sku == sku and self._may(lot)]
            if place.left or place.right:
                left = [n for n in numbers if self.lots[n].side == "left"]
                right = [n for n in numbers if self.lots[n].side == "right"]
                for pair in product(self._some(left, place.left), self._some(right, place.right)):
                    found.append(_added(pair))
            else:
                found += self._some(numbers, place.count)
        return found

    def _some(self, numbers: Sequence[int], count: int) -> list[Tyres]:
        """Every way to take so many tyres of these lots."""

        def more(start: int, left: int) -> Iterator[Tyres]:
            if left == 0:
                yield ()
                return
            for at in range(start, len(numbers)):
                number = numbers[at]
                for some in range(1, min(left, self.lots[number].quantity) + 1):
                    for rest in more(at + 1, left - some):
                        yield ((number, some), *rest)

        return list(more(0, count))

    def _axle_agrees(self, axle: RecipePlace, tyres: Tyres, anchors: Sequence[Anchor]) -> bool:
        lots = [self.lots[number] for number, _ in tyres]
        compared = [name for name in MOULDED if getattr(self.recipe, name) != "free"]
        if not (_equal(lots, anchors, compared) and _dates_agree(lots, anchors, _alone(tyres))):
            return False
        if axle.same_delivery and len(_deliveries(lots, anchors)) > 1:
            return False
        return _span(lots, anchors, axle.tolerance_weeks)

    def _car_agrees(self, chosen: Sequence[Tyres]) -> bool:
        if not chosen:
            return True
        recipe = self.recipe
        apart = {p.name for p in recipe.places if (a := recipe.axle_of(p.name)) and a.apart}
        anchors = [anchor for anchor in recipe.anchors if anchor.place not in apart]
        lots = [self.lots[number] for tyres in chosen for number, _ in tyres]
        compared = [name for name in MOULDED if getattr(recipe, name) == "car"]
        if not _equal(lots, anchors, compared):
            return False
        if recipe.car_tolerance_weeks is None:
            return True
        alone = sum(count for tyres in chosen for _, count in tyres) == 1
        return _dates_agree(lots, anchors, alone) and _span(
            lots, anchors, recipe.car_tolerance_weeks
        )


def _added(parts: Iterable[Tyres]) -> Tyres:
    total: dict[int, int] = {}
    for tyres in parts:
        for number, count in tyres:
            total[number] = total.get(number, 0) + count
    return tuple(sorted(total.items()))


def _alone(tyres: Tyres) -> bool:
    return sum(count for _, count in tyres) == 1


def _equal(lots: Sequence[Lot], anchors: Sequence[Anchor], names: Sequence[str]) -> bool:
    for name in names:
        values = {getattr(lot, name) for lot in lots}
        values |= {getattr(a, name) for a in anchors if getattr(a, name) is not None}
        if len(values) > 1:
            return False
    return True


def _deliveries(lots: Sequence[Lot], anchors: Sequence[Anchor]) -> set[object]:
    came = {("lot", lot.key) if lot.delivery is None else lot.delivery for lot in lots}
    return came | {anchor.delivery for anchor in anchors if anchor.delivery is not None}


def _dates_agree(lots: Sequence[Lot], anchors: Sequence[Anchor], alone: bool) -> bool:
    """All dated, or all undated and of one delivery."""
    known = [a for a in anchors if a.week is not None or a.delivery is not None]
    if alone and not known:
        return True
    dated = [*(lot.week is not None for lot in lots), *(a.week is not None for a in known)]
    if all(dated):
        return True
    return not any(dated) and len(_deliveries(lots, known)) == 1


def _span(lots: Sequence[Lot], anchors: Sequence[Anchor], width: int | None) -> bool:
    weeks = [tyre.week for tyre in (*lots, *anchors) if tyre.week is not None]
    return width is None or not weeks or max(weeks) - min(weeks) <= width
