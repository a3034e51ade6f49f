"""The shelf behind the offers of one answer, read in a few queries whatever their number."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from fitments.rules.values import Axle, Spot
from inventory.availability import Figures, Need, Prospect, ShelfLot, prospects, stock_of
from inventory.models.sku import SkuStatus
from inventory.sets import Recipe
from stockist.counter.offers import Offer
from stockist.counter.recipes import recipe_for
from stockist.counter.shelf import lots_by_sku
from stockist.counter.sites import site_of
from stockist.counter.wishes import Wishes

Behind = tuple[tuple[Figures, ...], tuple[ShelfLot, ...]]
"""The stock figures of an offer's SKUs, in their order, and all that lies of them."""


@dataclass(frozen=True, slots=True)
class Stock:
    """What can be promised of each offer; ``gone`` are those of which nothing is or will be."""

    at: datetime
    prospects: Mapping[Offer, Prospect | None]
    gone: frozenset[Offer]
    site_id: int | None = None

    def behind(self, offers: Iterable[Offer], with_lots: bool) -> dict[Offer, Behind]:
        """Figures and lots of the offers that are shown, in a query each."""
        shown = list(offers)
        ids = sorted({sku for offer in shown for sku in offer.sku_ids})
        told: Any = {"at": self.at, "site_id": self.site_id}
        figures = stock_of(ids, **told)
        lots = lots_by_sku(ids, **told) if with_lots else {}
        return {
            offer: (
                tuple(figures[sku] for sku in offer.sku_ids),
                tuple(lot for sku in offer.sku_ids for lot in lots.get(sku, ())),
            )
            for offer in shown
        }


def stock_for(
    offers: Iterable[tuple[Offer, Mapping[Axle, Spot]]],
    wishes: Wishes,
    *,
    limit_months: int | None,
    on: date,
    at: datetime,
) -> Stock:
    """What lies of each offer, given with the places it is offered for.

    Offers that ask for one and the same set are answered once. Raises ``BadRecipe``.
    """
    placed, site = list(offers), site_of(wishes)
    recipes: dict[Offer, Recipe | None] = {
        offer: recipe_for(offer, wishes, limit_months=limit_months, on=on) for offer, _ in placed
    }
    needs = {
        recipe: Need(recipe, recipe, site, rim_kind=str(spots[Axle.FRONT].rim_kind))
        for offer, spots in placed
        if (recipe := recipes[offer]) is not None
    }
    found = {one.need.key: one for one in prospects(list(needs.values()), at=at)}
    return Stock(
        at,
        {offer: found.get(recipe) for offer, recipe in recipes.items()},
        _gone(recipes, at),
        site,
    )


def _gone(offers: Iterable[Offer], at: datetime) -> frozenset[Offer]:
    """Discontinued, and none left anywhere."""
    ending = [
        offer for offer in offers if any(sku.status == SkuStatus.DISCONTINUED for sku in offer.skus)
    ]
    figures = stock_of(sorted({sku for offer in ending for sku in offer.sku_ids}), at=at)
    return frozenset(
        offer for offer in ending if not any(figures[sku].in_the_racks for sku in offer.sku_ids)
    )
