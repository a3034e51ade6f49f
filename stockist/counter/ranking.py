"""The offers of an answer in order, judged by the very tyres of the set as far as they are shown.

What an offer is judged by at first are its SKUs and how many sets there are. The lots of the best
set, and with them the age of its tyres, are looked at best offer first: that can only make a
verdict worse, so as soon as the offers at the head have been looked at, they stay there.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from heapq import heapify, heappop, heapreplace

from fitments.rules.values import Condition, Made, Outcome, Tyre, Verdict
from fitments.verdict import Bench
from inventory.availability import ChosenLot, Prospect, SetAnswer
from stockist.counter.offers import Offer, Offered
from stockist.counter.stock import Stock

MOST_REFUSED = 12

Rank = tuple[object, ...]


@dataclass(slots=True)
class Standing:
    """An offer with its verdict so far; ``looked``: judged by the tyres of its set."""

    offer: Offer
    prospect: Prospect | None
    verdict: Verdict
    looked: bool = False

    @property
    def suits(self) -> bool:
        return self.verdict.outcome is not Outcome.DOES_NOT_SUIT

    @property
    def in_stock(self) -> int:
        return self.prospect.count.sets if self.prospect else 0

    @property
    def sets(self) -> SetAnswer | None:
        return self.prospect.answer if self.prospect else None

    def look(self, bench: Bench) -> Standing:
        """The same, judged by the very tyres of the chosen set where there is one."""
        if not self.looked and self.prospect is not None and self.prospect.chosen:
            self.verdict = judged(self.offer, self.prospect.chosen, bench)
        self.looked = True
        return self


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
        Standing(offer, stock.prospects[offer], judged(offer, (), bench))
        for offer in offers
        if offer not in stock.gone
    ]
    if last is None or any(_price_hangs_on_lots(one) for one in standing):
        standing = [one.look(bench) for one in standing]
    # What is no listed size and does not suit either was never an answer.
    refused = sorted((one for one in standing if not one.suits and one.offer.listed), key=rank)
    good = [one for one in standing if one.suits]
    for one in refused[:MOST_REFUSED]:
        one.look(bench)
    return Ranked(_best_first(good, bench, last), refused, len(good))


def _best_first(good: Sequence[Standing], bench: Bench, last: int | None) -> list[Standing]:
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
            heapreplace(heap, (rank(one.look(bench)), number, one))
    return found


def _price_hangs_on_lots(one: Standing) -> bool:
    """Whether a place takes one SKU or another, so that the price is known by the lots only."""
    places = one.prospect.need.recipe.places if one.prospect else ()
    return any(len(place.skus) > 1 and not place.handed for place in places)


def judged(offer: Offer, chosen: Sequence[ChosenLot], bench: Bench) -> Verdict:
    """The verdict on the car, by the chosen tyres."""
    return bench.judge({one.axle: _tyres(one, chosen) for one in offer.axles})


def _tyres(offered: Offered, chosen: Sequence[ChosenLot]) -> tuple[Tyre, ...]:
    """The tyres of an axle, each with the date of the oldest chosen lot of its SKU."""
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
        one.verdict.outcome,
        -len(one.offer.axles),
        not one.in_stock,
        standing_rank(one.verdict),
        price is None,
        price or Decimal(0),
        [sku.code for sku in one.offer.skus],
    )


def _price(one: Standing) -> Decimal | None:
    if one.prospect is None:
        return None
    price = one.prospect.price if one.looked else one.prospect.usual_price
    return price.amount


def standing_rank(verdict: Verdict) -> int:
    """0 approved by the car's maker on evidence, 1 fitted when new or else listed, 2 the rest."""
    approved = [
        each
        for each in verdict.findings
        if each.rule == "approval" and each.point in ("maker", "list")
    ]
    if approved and all(finding.outcome is Outcome.SUITS for finding in approved):
        return 0
    sizes = [each for each in verdict.findings if each.rule == "size"]
    return 1 if sizes and all(finding.outcome is Outcome.SUITS for finding in sizes) else 2
