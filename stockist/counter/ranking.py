"""The offers of an answer in order, judged by the very tyres of the set as far as they are shown.

What an offer is judged by at first are its SKUs and how many sets there are. The lots of the best
set, and with them the age of its tyres, are looked at best offer first: that can only make a
verdict worse, so as soon as the offers at the head have been looked at, they stay there.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from heapq import heapify, heappop, heapreplace

from fitments.rules.gist import Gist
from fitments.rules.values import Axle, Condition, Made, Outcome, Tyre, Verdict
from fitments.verdict import Bench
from inventory.availability import ChosenLot, Prospect, SetAnswer
from stockist.counter.offers import Offer, Offered
from stockist.counter.stock import Stock

MOST_REFUSED = 12

Rank = tuple[object, ...]


@dataclass(slots=True)
class Standing:
    """An offer with what the rules come to so far; ``looked``: for the very tyres of its set."""

    offer: Offer
    prospect: Prospect | None
    bench: Bench
    tyres: Mapping[Axle, tuple[Tyre, ...]]
    gist: Gist
    looked: bool = False

    @classmethod
    def of(cls, offer: Offer, prospect: Prospect | None, bench: Bench) -> Standing:
        tyres = tyres_of(offer, ())
        return cls(offer, prospect, bench, tyres, bench.gist(tyres))

    @property
    def suits(self) -> bool:
        return self.gist.outcome is not Outcome.DOES_NOT_SUIT

    @property
    def in_stock(self) -> int:
        return self.prospect.count.sets if self.prospect else 0

    @property
    def sets(self) -> SetAnswer | None:
        return self.prospect.answer if self.prospect else None

    def look(self) -> Standing:
        """The same, judged by the very tyres of the chosen set where there is one."""
        if not self.looked and self.prospect is not None and self.prospect.chosen:
            self.tyres = tyres_of(self.offer, self.prospect.chosen)
            self.gist = self.bench.gist(self.tyres)
        self.looked = True
        return self

    def verdict(self) -> Verdict:
        """Every sentence, for an offer that is shown."""
        return self.bench.judge(self.tyres)


@dataclass(frozen=True, slots=True)
class Ranked:
    """The offers that suit, in order as far as they were asked for, and listed ones that do not.

    ``count``: how many suit.
    """

    good: list[Standing]
    refused: list[Standing]
    count: int


def ranked(offers: Iterable[Offer], stock: Stock, bench: Bench, last: int | None) -> Ranked:
    """The best offers in order, up to number ``last`` or all, and those listed in vain."""
    standing = [
        Standing.of(offer, stock.prospects[offer], bench)
        for offer in offers
        if offer not in stock.gone
    ]
    if last is None or any(_price_hangs_on_lots(one) for one in standing):
        standing = [one.look() for one in standing]
    # What is no listed size and does not suit either was never an answer.
    refused = sorted((one for one in standing if not one.suits and one.offer.listed), key=rank)
    good = [one for one in standing if one.suits]
    for one in refused[:MOST_REFUSED]:
        one.look()
    return Ranked(_best_first(good, last), refused, len(good))


def _best_first(good: Sequence[Standing], last: int | None) -> list[Standing]:
    """The head of the order: the best is looked at, and goes back to where it then belongs."""
    heap = [(rank(one), number, one) for number, one in enumerate(good)]
    heapify(heap)
    found: list[Standing] = []
    while heap and (last is None or len(found) < last):
        _, number, one = heap[0]
        if one.looked:
            found.append(one)
            heappop(heap)
        else:
            heapreplace(heap, (rank(one.look()), number, one))
    return found


def _price_hangs_on_lots(one: Standing) -> bool:
    """Whether a place takes one SKU or another, so that the price is known by the lots only."""
    places = one.prospect.need.recipe.places if one.prospect else ()
    return any(len(place.skus) > 1 and not place.handed for place in places)


def tyres_of(offer: Offer, chosen: Sequence[ChosenLot]) -> dict[Axle, tuple[Tyre, ...]]:
    """The tyres of an offer by axle, as the chosen lots are."""
    return {one.axle: _tyres(one, chosen) for one in offer.axles}


def _tyres(offered: Offered, chosen: Sequence[ChosenLot]) -> tuple[Tyre, ...]:
    """The tyres of an axle, each with the date of the oldest chosen lot of its SKU."""
    if not chosen:
        return offered.tyres
    found = []
    for one in offered.judged:
        lots = [
            part.lot
            for part in chosen
            if part.lot.sku_id == one.sku.pk and part.for_place == offered.axle
        ]
        lots.sort(key=lambda lot: (lot.last_day is not None, lot.last_day or date.min))
        if not lots:
            found.append(one.tyre)
            continue
        oldest = lots[0]
        made = Made(
            date_code=oldest.date_code,
            first_day=oldest.first_day,
            last_day=oldest.last_day,
            earliest=oldest.first_day,
            latest=oldest.last_day,
            condition=Condition(oldest.condition),
        )
        found.append(replace(one.tyre, made=made))
    return tuple(found)


def rank(one: Standing) -> Rank:
    """Listed before computed, then the verdict, whole cars, stock, standing, price.

    A computed alternative never comes before a listed size, whatever else it has for it.
    """
    price = _price(one)
    return (
        not one.offer.listed,
        one.gist.outcome,
        -len(one.offer.axles),
        not one.in_stock,
        standing_rank(one.gist),
        price is None,
        price or Decimal(0),
        [sku.code for sku in one.offer.skus],
    )


def _price(one: Standing) -> Decimal | None:
    if one.prospect is None:
        return None
    price = one.prospect.price if one.looked else one.prospect.usual_price
    return price.amount


def standing_rank(gist: Gist) -> int:
    """0 approved by the car's maker on evidence, 1 fitted when new or else listed, 2 the rest."""
    if gist.approved:
        return 0
    return 1 if gist.listed else 2
