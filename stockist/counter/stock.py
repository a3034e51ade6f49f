"""The shelf behind the offers of one answer, read in a few queries whatever their number.

What must be known of every offer is read at once and is little; the lots of those that may be shown
are read when they are asked for.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.db.models import Exists, OuterRef, QuerySet
from django.utils.functional import cached_property

from fitments.rules.values import Axle, Spot
from inventory.availability import Figures, Need, Prospect, ShelfLot, prospects, stock_of
from inventory.availability.usual import Musts, Part, amount
from inventory.availability.values import PROMISED_FROM
from inventory.ground.planned import Planned
from inventory.models.balance import Balance
from inventory.models.lot import Owner
from inventory.models.sku import Sku, SkuStatus
from inventory.sets import Recipe
from stockist.counter.offers import Offer
from stockist.counter.recipes import pieces_of, places_of, recipe_for
from stockist.counter.shelf import lots_by_sku
from stockist.counter.sites import site_of
from stockist.counter.wishes import Wishes

Behind = tuple[tuple[Figures, ...], tuple[ShelfLot, ...]]
"""The stock figures of an offer's SKUs, in their order, and all that lies of them."""
_of_ours = Balance.objects.filter(
    on_hand__gt=0, lot__owner=Owner.HOUSE, place__kind__in=PROMISED_FROM, lot__sku=OuterRef("pk")
)


def _not_gone(skus: list[int]) -> QuerySet[Sku, int]:
    some = Sku.objects.filter(Exists(_of_ours), pk__in=skus)
    return some.order_by("pk").values_list("pk", flat=True)


_in_the_racks = Planned(_not_gone, [int])


class Stock:
    """What lies of the offers of an answer, each given with the places it is offered for.

    ``limit_months``: how old a tyre may be on the day ``on``; ``at``: the moment asked about.
    Raises ``BadRecipe`` for wishes that contradict one another.
    """

    def __init__(
        self,
        placed: dict[Offer, Mapping[Axle, Spot]],
        wishes: Wishes,
        *,
        limit_months: int | None,
        on: date,
        at: datetime,
    ) -> None:
        self.wishes, self.at = wishes, at
        self._placed, self._limit_months, self._on = placed, limit_months, on
        self._site_id = site_of(wishes)
        self._recipes: dict[Offer, Recipe | None] = {}
        self._found: dict[Recipe, Prospect] = {}
        self._usual: dict[object, Decimal | None] = {}
        for offer in {offer.shape: offer for offer in reversed(placed)}.values():
            self.recipe(offer)

    def recipe(self, offer: Offer) -> Recipe | None:
        """What one set of the offer is; None where it has nothing for what is wanted."""
        if offer not in self._recipes:
            self._recipes[offer] = recipe_for(
                offer, self.wishes, limit_months=self._limit_months, on=self._on
            )
        return self._recipes[offer]

    @cached_property
    def gone(self) -> frozenset[Offer]:
        """The offers with a discontinued tyre of which none is left anywhere."""
        ending = [
            offer
            for offer in self._placed
            if any(sku.status == SkuStatus.DISCONTINUED for sku in offer.skus)
        ]
        skus = sorted({sku for offer in ending for sku in offer.sku_ids})
        left = {*_in_the_racks(skus)} if skus else set()
        return frozenset(offer for offer in ending if left.isdisjoint(offer.sku_ids))

    @property
    def hangs_on_lots(self) -> bool:
        """Whether a place takes one SKU or another, so that the price is known by the lots only."""
        recipes = (self.recipe(offer) for offer in self._placed if offer.handed)
        places = [place for one in recipes if one is not None for place in one.places]
        return any(len(place.skus) > 1 and not place.handed for place in places)

    def usual_price(self, offer: Offer) -> Decimal | None:
        """The price of a set of it, whichever lots are chosen; None where it cannot be said."""
        rim_kind = str(self._placed[offer][Axle.FRONT].rim_kind)
        alike = (rim_kind, offer.shape, *[one.sku_ids for one in offer.axles])
        if alike not in self._usual:  # offers of several parts are often of the same tyres
            self._usual[alike] = self._price(offer, rim_kind)
        return self._usual[alike]

    def _price(self, offer: Offer, rim_kind: str) -> Decimal | None:
        pieces = pieces_of(offer, self.wishes)
        if not pieces:
            return None
        parts = [Part(sku.price, sku.currency, count) for sku, count in pieces]
        return amount([*parts, *self._musts.of(places_of(offer, self.wishes), rim_kind)])

    @cached_property
    def _musts(self) -> Musts:
        skus = {sku.pk: sku.size_keys for offer in self._placed for sku in offer.skus}
        return Musts(skus, at=self.at, site_id=self._site_id)

    def fetch(self, offers: Iterable[Offer]) -> None:
        """Read what lies of these offers; those that ask for one and the same set are one."""
        needs: dict[Recipe, Need] = {}
        for offer in offers:
            recipe = self.recipe(offer)
            if recipe is not None and recipe not in self._found:
                rim_kind = str(self._placed[offer][Axle.FRONT].rim_kind)
                needs[recipe] = Need(recipe, recipe, self._site_id, rim_kind=rim_kind)
        if needs:
            found = prospects(list(needs.values()), at=self.at)
            self._found |= zip(needs, found, strict=True)

    def prospect(self, offer: Offer) -> Prospect | None:
        """What can be promised of an offer that was fetched."""
        recipe = self.recipe(offer)
        return None if recipe is None else self._found[recipe]

    def behind(self, offers: Iterable[Offer], with_lots: bool) -> dict[Offer, Behind]:
        """Figures and lots of the offers that are shown, in a query each."""
        shown = list(offers)
        ids = sorted({sku for offer in shown for sku in offer.sku_ids})
        told: Any = {"at": self.at, "site_id": self._site_id}
        figures = stock_of(ids, **told)
        lots = lots_by_sku(ids, **told) if with_lots else {}
        return {
            offer: (
                tuple(figures[sku] for sku in offer.sku_ids),
                tuple(lot for sku in offer.sku_ids for lot in lots.get(sku, ())),
            )
            for offer in shown
        }
