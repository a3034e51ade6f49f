"""Which tyre, and have you got it? One pipe: candidates, offers, sets in stock, verdict, rank."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime

from django.utils import timezone

from fitments.lookup.candidates import Part, candidates_at, candidates_for
from fitments.lookup.classes import as_known
from fitments.lookup.span import Span
from fitments.lookup.spots import AsItStands, class_of
from fitments.models.car import Variant
from fitments.models.organiser import CompetitionClass
from fitments.rules.values import Axle, Market, Outcome, Spot, Terms, Use, Verdict
from fitments.verdict import Bench
from inventory.availability import Figures, SetAnswer, ShelfLot
from inventory.models.sku import Sku
from stockist.counter.offers import Offer, offers_of
from stockist.counter.ranking import Ranked, Standing, ranked
from stockist.counter.stock import Stock
from stockist.counter.wishes import Wishes


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """A car as it stands, what it is used for, and what a set should be.

    What was known of approvals and of the class at ``known_on``, about the day ``in_force_on``.

    A listed car is a ``variant`` and the time it was ``built``; one that is not listed is the
    ``spots`` that were typed in.
    """

    variant: Variant | None
    built: Span | None
    spots: dict[Axle, Spot] | None = None
    use: Use = Use.ROAD
    market: Market = Market.GB
    stands: AsItStands = field(default_factory=AsItStands)
    wishes: Wishes = field(default_factory=Wishes)
    competition_class: CompetitionClass | None = None
    in_force_on: date | None = None
    known_on: datetime | None = None

    @property
    def wanted(self) -> frozenset[Axle]:
        counts = {Axle.FRONT: self.wishes.front, Axle.REAR: self.wishes.rear}
        return frozenset(axle for axle, count in counts.items() if count)

    @property
    def limit_months(self) -> int | None:
        """The strictest age limit: the customer's, the house's, the class's."""
        class_ = class_of(self.competition_class)
        limits = (
            self.stands.customer_limit_months,
            self.stands.house_limit_months,
            class_.age_limit_months if class_ else None,
        )
        return min((one for one in limits if one), default=None)


@dataclass(frozen=True, slots=True)
class OfferAnswer:
    """One offer: what it is, what the rules say of it on this car, and the sets there are.

    ``figures`` are the stock figures of its SKUs, in their order; ``lots`` all that lies of them.
    """

    offer: Offer
    verdict: Verdict
    sets: SetAnswer | None
    figures: tuple[Figures, ...]
    lots: tuple[ShelfLot, ...]

    @property
    def skus(self) -> tuple[Sku, ...]:
        return self.offer.skus

    @property
    def in_stock(self) -> int:
        return self.sets.sets if self.sets else 0

    @property
    def suits(self) -> bool:
        return self.verdict.outcome is not Outcome.DOES_NOT_SUIT


@dataclass(frozen=True, slots=True)
class PartAnswer:
    """The answer for cars built in one span: offers in order, and what was looked at in vain.

    ``count``: how many offers suit, of which ``offers`` are the first, or those asked for.
    """

    built: Span | None
    spots: Mapping[Axle, Spot]
    offers: tuple[OfferAnswer, ...]
    refused: tuple[OfferAnswer, ...]
    count: int


@dataclass(frozen=True, slots=True)
class Answer:
    """The whole answer; several parts where the time asked about crosses a change."""

    question: Question
    parts: tuple[PartAnswer, ...]

    @property
    def dividing_days(self) -> tuple[date, ...]:
        return tuple(part.built.first for part in self.parts[1:] if part.built)


def which_tyre(
    question: Question,
    *,
    at: datetime,
    first: int = 0,
    most: int | None = None,
    with_lots: bool = True,
) -> Answer:
    """What this car takes, in order, with the sets that can be promised at a moment.

    Of each part ``most`` offers from number ``first`` on (0 is the best), or all. The number of
    queries is bounded, however many offers there are: what lies is read for the likely ones, and
    for others at most twice more a list. Without all that lies of those shown it is one fewer.
    Raises ``BadRecipe`` for wishes that contradict one another.
    """
    on = question.in_force_on or timezone.localdate(at)
    ran = as_known(question.competition_class, question.known_on or at)
    question = replace(question, competition_class=ran)
    parts = _candidates(question, at, on)
    offers = [offers_of(part.judged, question.wanted) for part in parts]
    stock = Stock(
        {one: part.spots for part, some in zip(parts, offers, strict=True) for one in some},
        question.wishes,
        limit_months=question.limit_months,
        on=on,
        at=at,
    )
    terms = Terms(use=question.use, market=question.market, on=on)
    benches = [Bench(part.spots, terms) for part in parts]
    last = None if most is None else first + most
    found = ranked(zip(offers, benches, strict=True), stock, last)
    return Answer(question, _shown(parts, found, stock, (first, last), with_lots=with_lots))


def _candidates(question: Question, at: datetime, on: date) -> tuple[Part, ...]:
    if question.variant is None or question.built is None:
        part = candidates_at(
            question.spots or {},
            built=question.built,
            use=question.use,
            market=question.market,
            on=on,
        )
        return (part,)
    return candidates_for(
        question.variant,
        built=question.built,
        in_force_on=on,
        known_on=question.known_on or at,
        use=question.use,
        market=question.market,
        stands=question.stands,
        competition_class=question.competition_class,
    ).parts


def _shown(
    parts: tuple[Part, ...],
    found: list[Ranked],
    stock: Stock,
    page: tuple[int, int | None],
    *,
    with_lots: bool,
) -> tuple[PartAnswer, ...]:
    """The parts, with what lies behind each offer that is shown and no other."""
    good = [some.good[slice(*page)] for some in found]
    refused = [some.refused for some in found]
    behind = stock.behind([one.offer for some in good + refused for one in some], with_lots)

    def told(some: list[Standing]) -> tuple[OfferAnswer, ...]:
        return tuple(
            OfferAnswer(one.offer, one.verdict(), one.sets, *behind[one.offer]) for one in some
        )

    return tuple(
        PartAnswer(part.built, part.spots, told(shown), told(in_vain), some.count)
        for part, shown, in_vain, some in zip(parts, good, refused, found, strict=True)
    )
