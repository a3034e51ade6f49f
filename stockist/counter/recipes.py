"""The recipe of a matched set for an offer and a customer's wishes. Pure."""

from __future__ import annotations

from datetime import date

from fitments.rules.values import Axle
from inventory.availability.promising import mark_text
from inventory.availability.usual import PlaceOf
from inventory.markings import oldest_allowed_week
from inventory.models.sku import Sku
from inventory.sets import Anchor, Recipe, RecipePlace
from stockist.counter.offers import Offer, Offered
from stockist.counter.wishes import Wishes

SPARE = "spare"


def recipe_for(
    offer: Offer, wishes: Wishes, *, limit_months: int | None, on: date
) -> Recipe | None:
    """What one set of this offer is; None where it has nothing for what is wanted.

    ``limit_months`` is the oldest a tyre may be on the day ``on`` that it leaves, the strictest of
    the customer's, the house's and the class's. Under the house's limit alone an undated tyre is
    let through, since competition tyres have no date code; where the customer or a class asks for
    an age, a tyre that cannot show it is left out. Raises ``BadRecipe`` for wishes that contradict
    one another.
    """
    counts = {Axle.FRONT: wishes.front, Axle.REAR: wishes.rear}
    places = [
        _place(offered, counts[offered.axle], wishes)
        for offered in offer.axles
        if counts[offered.axle]
    ]
    if not places:
        return None
    if wishes.spare:
        places.append(_spare(offer, wishes))
    return Recipe(
        tuple(places),
        car_tolerance_weeks=wishes.car_tolerance_weeks,
        oldest_week=oldest_allowed_week(limit_months=limit_months, on=on) if limit_months else None,
        allow_undated=wishes.limit_years is None,
        prefer=wishes.prefer,
        anchors=_anchors(wishes),
    )


def places_of(offer: Offer, wishes: Wishes) -> tuple[PlaceOf, ...]:
    """The places of the same recipe, as far as what goes with its tyres hangs on them."""
    counts = {Axle.FRONT: wishes.front, Axle.REAR: wishes.rear}
    places = [
        PlaceOf(one.axle, one.sku_ids, counts[one.axle]) for one in offer.axles if counts[one.axle]
    ]
    if places and wishes.spare:
        places.append(PlaceOf(SPARE, offer.axles[0].sku_ids, 1))
    return tuple(places)


def pieces_of(offer: Offer, wishes: Wishes) -> list[tuple[Sku, int]]:
    """The SKUs of a set and how many of each, the first of those that would do."""
    counts = {Axle.FRONT: wishes.front, Axle.REAR: wishes.rear}
    found: list[tuple[Sku, int]] = []
    for one in offer.axles:
        count = counts[one.axle]
        if one.handed and count % 2 == 0:
            found += [(each.sku, count // 2) for each in one.judged if count]
        elif count:
            found.append((one.first.sku, count))
    if found and wishes.spare:
        found.append((offer.first.sku, 1))
    return found


def _place(offered: Offered, count: int, wishes: Wishes) -> RecipePlace:
    handed = offered.handed and count % 2 == 0
    return RecipePlace(
        name=offered.axle,
        skus=offered.sku_ids,
        count=0 if handed else count,
        left=count // 2 if handed else 0,
        right=count // 2 if handed else 0,
        tolerance_weeks=wishes.tolerance_weeks,
        same_delivery=wishes.same_delivery,
        marks=_marks(offered),
    )


def _spare(offer: Offer, wishes: Wishes) -> RecipePlace:
    """One more like the front ones, within their tolerance."""
    offered = offer.axles[0]
    return RecipePlace(
        name=SPARE,
        skus=offered.sku_ids,
        count=1,
        tolerance_weeks=wishes.tolerance_weeks,
        same_delivery=wishes.same_delivery,
        marks=_marks(offered),
        joins=offered.axle if not offered.handed else "",
    )


def _marks(offered: Offered) -> tuple[str, ...]:
    """The mark and issue that the SKU is sold with; any, where it is sold without an issue."""
    tyre = offered.first.tyre
    return (mark_text(tyre.mark, tyre.mark_issue),) if tyre.mark and tyre.mark_issue else ()


def _anchors(wishes: Wishes) -> tuple[Anchor, ...]:
    if wishes.anchor is None:
        return ()
    return (Anchor(wishes.anchor.axle, week=wishes.anchor.week),)
