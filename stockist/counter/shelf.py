"""Have you got it? What is on the shelf of some tyres, as complete sets and not as pieces."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.utils import timezone

from inventory.availability import (
    Figures,
    Need,
    SetAnswer,
    ShelfLot,
    lots_of,
    stock_and_promises,
)
from inventory.availability.promising import mark_text
from inventory.markings import oldest_allowed_week
from inventory.models.sku import Hand, Sku, SkuKind
from inventory.sets import Recipe, RecipePlace
from stockist.counter.sites import site_of
from stockist.counter.wishes import Wishes

MOST_AT_ONCE = 60
ALIKE = {1: "one tyre", 2: "a pair", 4: "four alike"}


@dataclass(frozen=True, slots=True)
class ShelfAnswer:
    """One tyre (or the left and the right of it), its figures, and the sets it makes.

    ``sets`` is None for what makes no set by itself: a tube, or a left tyre without a right one.
    """

    skus: tuple[Sku, ...]
    figures: tuple[Figures, ...]
    sets: SetAnswer | None
    lots: tuple[ShelfLot, ...]
    recipe: Recipe | None = None

    @property
    def sku(self) -> Sku:
        return self.skus[0]

    @property
    def to_sell(self) -> int:
        return sum(one.to_sell for one in self.figures)

    @property
    def in_the_racks(self) -> int:
        return sum(one.in_the_racks for one in self.figures)


def shelf_answers(
    skus: Sequence[Sku],
    wishes: Wishes,
    *,
    limit_months: int | None,
    at: datetime,
    with_lots: bool = True,
) -> tuple[ShelfAnswer, ...]:
    """Answers for up to 60 SKUs in their order, lefts and rights of one tyre together.

    A fixed number of queries, however many SKUs; one fewer without all that lies of them, one
    more where one site alone is asked about.
    """
    groups = _together(list(skus)[:MOST_AT_ONCE])
    asked = [sku for group in groups for sku in group]
    site = site_of(wishes)
    lots = lots_by_sku([sku.pk for sku in asked], at=at, site_id=site) if with_lots else {}
    recipes = [_recipe(group, wishes, limit_months, at) for group in groups]
    needs = [Need(number, one, site) for number, one in enumerate(recipes) if one is not None]
    figures, promised = stock_and_promises(asked, needs, at=at, site_id=site)
    sets = {answer.key: answer for answer in promised}
    return tuple(
        ShelfAnswer(
            group,
            tuple(figures[sku.pk] for sku in group),
            sets.get(number),
            tuple(lot for sku in group for lot in lots.get(sku.pk, ())),
            recipes[number],
        )
        for number, group in enumerate(groups)
    )


def lots_by_sku(
    skus: Collection[int], *, at: datetime, site_id: int | None = None
) -> dict[int, list[ShelfLot]]:
    """Every lot of these SKUs as it lies, at one site or at all, in one query."""
    found: dict[int, list[ShelfLot]] = defaultdict(list)
    for lot in lots_of(skus, at=at, site_id=site_id):
        found[lot.sku_id].append(lot)
    return found


def _together(skus: Sequence[Sku]) -> list[tuple[Sku, ...]]:
    """Left and right of one tyre as a pair, everything else by itself."""
    found: dict[tuple[object, ...], list[Sku]] = defaultdict(list)
    for sku in skus:
        alike: tuple[object, ...] = (sku.pk,)
        if sku.hand:
            alike = (
                sku.maker_id,
                sku.pattern_id,
                sku.compound_id,
                sku.size,
                sku.sidewall,
                sku.mark,
                sku.mark_issue,
            )
        found[alike].append(sku)
    return [tuple(sorted(group, key=lambda one: one.hand)) for group in found.values()]


def _recipe(
    group: tuple[Sku, ...], wishes: Wishes, limit_months: int | None, at: datetime
) -> Recipe | None:
    """As many alike as are wanted, half of them left and half right where the tyre is handed."""
    first = group[0]
    hands = {sku.hand for sku in group}
    count = wishes.front + wishes.rear
    if first.kind != SkuKind.TYRE or (hands - {Hand.NONE} and hands != {Hand.LEFT, Hand.RIGHT}):
        return None
    handed = Hand.LEFT in hands and count % 2 == 0
    on = timezone.localdate(at)
    place = RecipePlace(
        name=ALIKE.get(count, f"{count} alike"),
        skus=tuple(sku.pk for sku in group),
        count=0 if handed else count,
        left=count // 2 if handed else 0,
        right=count // 2 if handed else 0,
        tolerance_weeks=wishes.tolerance_weeks,
        same_delivery=wishes.same_delivery,
        marks=(mark_text(first.mark, first.mark_issue),) if first.mark_issue else (),
    )
    return Recipe(
        (place,),
        oldest_week=oldest_allowed_week(limit_months=limit_months, on=on) if limit_months else None,
        allow_undated=wishes.limit_years is None,
        prefer=wishes.prefer,
    )
