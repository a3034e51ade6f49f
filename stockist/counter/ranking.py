"""The offers of an answer in order, looked at closely only as far as they are shown.

What is known of an offer at first is what the rules come to for its SKUs, and its usual price; it
is taken to be in stock. The best ones are then held against the shelf, and judged by the lots of
their best set, and so by the age of its tyres. Either can only put an offer further down: as soon
as the offers at the head have been looked at, they stay there.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from heapq import heapify, heappop, heapreplace, nsmallest

from fitments.rules.gist import Gist
from fitments.rules.values import Axle, Condition, Made, Outcome, Tyre, Verdict
from fitments.verdict import Bench
from inventory.availability import ChosenLot, Prospect, SetAnswer, ShelfLot
from stockist.counter.offers import Offer
from stockist.counter.stock import Stock

MOST_REFUSED = 12

Rank = tuple[object, ...]
_NOUGHT = Decimal(0)


@dataclass(slots=True)
class Standing:
    """An offer with what the rules come to so far.

    ``fetched``: what lies of it is read; ``counted``: held against that; ``looked``: judged by the
    tyres of its set.
    """

    offer: Offer
    bench: Bench
    tyres: Mapping[Axle, tuple[Tyre, ...]]
    gist: Gist
    price: Decimal | None = None
    prospect: Prospect | None = None
    fetched: bool = False
    counted: bool = False
    looked: bool = False

    @classmethod
    def of(cls, offer: Offer, bench: Bench) -> Standing:
        return cls(offer, bench, offer.tyres, bench.gist(offer.tyres))

    @property
    def suits(self) -> bool:
        return self.gist.outcome is not Outcome.DOES_NOT_SUIT

    @property
    def in_stock(self) -> bool:
        """Whether there is a set; until it is counted, that there is one."""
        return not self.counted or (self.prospect is not None and self.prospect.count.sets > 0)

    @property
    def sets(self) -> SetAnswer | None:
        return self.prospect.answer if self.prospect else None

    def look(self) -> Standing:
        """The same, judged by the very tyres of the chosen set where there is one."""
        if not self.looked and self.prospect is not None:
            if self.prospect.chosen:
                self.tyres = tyres_of(self.offer, self.prospect.chosen)
                self.gist = self.bench.gist(self.tyres)
            self.price = self.prospect.price.amount
        self.counted = self.looked = True
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


def ranked(
    parts: Iterable[tuple[Iterable[Offer], Bench]], stock: Stock, last: int | None
) -> list[Ranked]:
    """Of each part the best offers in order, up to number ``last`` or all, and those in vain.

    The shelf is asked for the offers that are likely to be at the head; where there are fewer sets
    among those, for some that come next, and only then for all the others.
    """
    stood = [
        [Standing.of(offer, bench) for offer in offers if offer not in stock.gone]
        for offers, bench in parts
    ]
    every = [one for some in stood for one in some]
    if last is None or stock.hangs_on_lots:
        _fetch(every, stock)
        for one in every:
            one.look()
    found = []
    for some in stood:
        good = [one for one in some if one.suits]
        # What is no listed size and does not suit either was never an answer.
        refused = [one for one in some if not one.suits and one.offer.listed]
        found.append((good, refused))
    return _in_order(found, stock, last)


def _in_order(
    parts: Sequence[tuple[list[Standing], list[Standing]]], stock: Stock, last: int | None
) -> list[Ranked]:
    every = [one for both in parts for some in both for one in some]
    for one in every:
        if not one.looked:
            one.price = stock.usual_price(one.offer)
    likely: list[Standing] = []
    for good, refused in parts:
        likely += _first(good, last) + _first(refused, MOST_REFUSED)
    _fetch(likely, stock)
    told = []
    for good, refused in parts:
        in_vain = _best_first(refused, MOST_REFUSED, stock, by_lots=False)
        best = _best_first(good, last, stock, by_lots=True)
        told.append(Ranked(best, [one.look() for one in in_vain], len(good)))
    return told


def _first(some: list[Standing], most: int | None) -> list[Standing]:
    """The best as far as is known, and half as many again; all where there is no limit."""
    likely = None if most is None else most * 3 // 2
    return some if likely is None or len(some) <= likely else nsmallest(likely, some, key=rank)


def _fetch(some: Sequence[Standing], stock: Stock) -> None:
    """Read what lies of those of which that was not."""
    new = [one for one in some if not one.fetched]
    stock.fetch([one.offer for one in new])
    for one in new:
        one.prospect, one.fetched = stock.prospect(one.offer), True


def _best_first(
    some: Sequence[Standing], last: int | None, stock: Stock, *, by_lots: bool
) -> list[Standing]:
    """The head of the order: the best is looked at, and goes back to where it then belongs.

    ``by_lots``: by the very tyres of its set too.
    """
    heap = [(rank(one), number, one) for number, one in enumerate(some)]
    heapify(heap)
    found: list[Standing] = []
    next_ones = iter((last and last * 2,))
    while heap and (last is None or len(found) < last):
        known, number, one = heap[0]
        if not one.fetched:
            waiting = [entry for entry in heap if not entry[2].fetched]
            most = next(next_ones, None) or len(waiting)
            _fetch([one for _, _, one in nsmallest(most, waiting)], stock)
        one.counted = True
        if by_lots:
            one.look()
        now = rank(one)
        if now == known:
            found.append(one)
            heappop(heap)
        else:
            heapreplace(heap, (now, number, one))
    return found


def tyres_of(offer: Offer, chosen: Sequence[ChosenLot]) -> dict[Axle, tuple[Tyre, ...]]:
    """The tyres of an offer by axle, each as the oldest chosen lot of its SKU there was made."""
    oldest: dict[tuple[int, str], ShelfLot] = {}
    for part in chosen:
        place = part.lot.sku_id, str(part.for_place)
        oldest[place] = min(oldest.get(place, part.lot), part.lot, key=_made_on)
    made: dict[tuple[int, int], Tyre] = {}
    found = {}
    for offered in offer.axles:
        here = []
        for one in offered.judged:
            lot = oldest.get((one.sku.pk, offered.axle.value))
            if lot is None:
                here.append(one.tyre)
                continue
            known = one.sku.pk, lot.lot_id
            if known not in made:
                made[known] = one.tyre.as_made(_made(lot))
            here.append(made[known])
        found[offered.axle] = tuple(here)
    return found


def _made_on(lot: ShelfLot) -> tuple[bool, date]:
    """The undated first: they may be of any age."""
    return lot.last_day is not None, lot.last_day or date.min


def _made(lot: ShelfLot) -> Made:
    return Made(
        date_code=lot.date_code,
        first_day=lot.first_day,
        last_day=lot.last_day,
        earliest=lot.first_day,
        latest=lot.last_day,
        condition=Condition(lot.condition),
    )


def rank(one: Standing) -> Rank:
    """Listed before computed, then the verdict, whole cars, stock, standing, price.

    A computed alternative never comes before a listed size, whatever else it has for it.
    """
    return (
        not one.offer.listed,
        one.gist.outcome,
        -len(one.offer.axles),
        not one.in_stock,
        standing_rank(one.gist),
        one.price is None,
        one.price or _NOUGHT,
        one.offer.codes,
    )


def standing_rank(gist: Gist) -> int:
    """0 approved by the car's maker on evidence, 1 fitted when new or else listed, 2 the rest."""
    if gist.approved:
        return 0
    return 1 if gist.listed else 2
