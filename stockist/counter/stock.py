"""The shelf behind the offers of one answer, read in a few queries whatever their number."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from fitments.rules.values import Axle, Spot
from inventory.availability import Figures, Need, SetAnswer, ShelfLot, promises, stock_of
from inventory.sets import Recipe
from stockist.counter.offers import Offer
from stockist.counter.recipes import recipe_for
from stockist.counter.shelf import lots_by_sku
from stockist.counter.wishes import Wishes


@dataclass(frozen=True, slots=True)
class Behind:
    """What lies behind one offer: the sets it makes, the figures and the lots of its SKUs."""

    sets: SetAnswer | None
    figures: tuple[Figures, ...]
    lots: tuple[ShelfLot, ...]


def stock_behind(
    offers: Iterable[tuple[Offer, Mapping[Axle, Spot]]],
    wishes: Wishes,
    *,
    limit_months: int | None,
    on: date,
    at: datetime,
) -> dict[Offer, Behind]:
    """The stock of each offer, given with the places it is offered for.

    Offers that ask for one and the same set are answered once. Raises ``BadRecipe``.
    """
    placed = list(offers)
    recipes: dict[Offer, Recipe | None] = {
        offer: recipe_for(offer, wishes, limit_months=limit_months, on=on) for offer, _ in placed
    }
    needs = {
        recipe: Need(recipe, recipe, rim_kind=str(spots[Axle.FRONT].rim_kind))
        for offer, spots in placed
        if (recipe := recipes[offer]) is not None
    }
    sets = {answer.key: answer for answer in promises(list(needs.values()), at=at)}
    ids = sorted({sku for offer in recipes for sku in offer.sku_ids})
    figures, lots = stock_of(ids, at=at), lots_by_sku(ids, at=at)
    return {
        offer: Behind(
            sets.get(recipe),
            tuple(figures[sku] for sku in offer.sku_ids),
            tuple(lot for sku in offer.sku_ids for lot in lots.get(sku, ())),
        )
        for offer, recipe in recipes.items()
    }
