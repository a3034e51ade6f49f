"""Which tyre, and have you got it? One pipe: candidates, offers, sets in stock, verdict, rank."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from decimal import Decimal

from django.utils import timezone

from fitments.lookup.candidates import Part, candidates_at, candidates_for
from fitments.lookup.span import Span
from fitments.lookup.spots import AsItStands, class_of
from fitments.models.car import Variant
from fitments.models.organiser import CompetitionClass
from fitments.rules.values import Axle, Condition, Made, Market, Outcome, Spot, Tyre, Use, Verdict
from fitments.verdict import judge_set
from inventory.availability import ChosenLot, Figures, SetAnswer, ShelfLot
from inventory.models.sku import Sku, SkuStatus
from stockist.counter.offers import Offer, Offered, offers_of
from stockist.counter.stock import Behind, stock_behind
from stockist.counter.wishes import Wishes

MOST_REFUSED = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """A car as it stands, what it is used for, and what a set should be.

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
    """The answer for cars built in one span: offers in order, and what was looked at in vain."""

    built: Span | None
    spots: Mapping[Axle, Spot]
    offers: tuple[OfferAnswer, ...]
    refused: tuple[OfferAnswer, ...]


@dataclass(frozen=True, slots=True)
class Answer:
    """The whole answer; several parts where the time asked about crosses a change."""

    question: Question
    parts: tuple[PartAnswer, ...]

    @property
    def dividing_days(self) -> tuple[date, ...]:
        return tuple(part.built.first for part in self.parts[1:] if part.built)


def which_tyre(question: Question, *, at: datetime) -> Answer:
    """What this car takes, in order, with the sets that can be promised at a moment.

    The number of queries does not grow with the number of offers. Raises ``BadRecipe`` for wishes
    that contradict one another.
    """
    today = timezone.localdate(at)
    on = question.in_force_on or today
    parts = _candidates(question, at, on)
    offers = [offers_of(part.judged, question.wanted) for part in parts]
    behind = stock_behind(
        [(one, part.spots) for part, some in zip(parts, offers, strict=True) for one in some],
        question.wishes,
        limit_months=question.limit_months,
        on=on,
        at=at,
    )
    answered = [
        _part(part, some, behind, question, on) for part, some in zip(parts, offers, strict=True)
    ]
    return Answer(question, tuple(answered))


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


def _part(
    part: Part,
    offers: Iterable[Offer],
    behind: Mapping[Offer, Behind],
    question: Question,
    on: date,
) -> PartAnswer:
    answers = []
    for offer in offers:
        stock = behind[offer]
        if not _gone(offer, stock.figures):
            verdict = _verdict(offer, part.spots, stock.sets, question, on)
            answers.append(OfferAnswer(offer, verdict, stock.sets, stock.figures, stock.lots))
    answers.sort(key=rank)
    good = tuple(one for one in answers if one.suits)
    # What is no listed size and does not suit either was never an answer.
    refused = [one for one in answers if not one.suits and one.offer.listed]
    return PartAnswer(part.built, part.spots, good, tuple(refused[:MOST_REFUSED]))


def _gone(offer: Offer, figures: Sequence[Figures]) -> bool:
    """Discontinued, and none left anywhere."""
    discontinued = any(sku.status == SkuStatus.DISCONTINUED for sku in offer.skus)
    return discontinued and not any(one.in_the_racks for one in figures)


def _verdict(
    offer: Offer,
    spots: Mapping[Axle, Spot],
    sets: SetAnswer | None,
    question: Question,
    on: date,
) -> Verdict:
    """The verdict on the car, by the very tyres of the chosen set where there is one."""
    chosen = sets.chosen if sets else ()
    tyres = {one.axle: _tyres(one, chosen) for one in offer.axles}
    return judge_set(tyres, spots, use=question.use, market=question.market, on=on)


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
        made = None
        if lots:
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


def rank(one: OfferAnswer) -> tuple[object, ...]:
    """Listed before computed, then the verdict, whole cars, stock, standing, price.

    A computed alternative never comes before a listed size, whatever else it has for it.
    """
    price = one.sets.price.amount if one.sets else None
    return (
        not one.offer.listed,
        one.verdict.outcome,
        -len(one.offer.axles),
        not one.in_stock,
        standing_rank(one),
        price is None,
        price or Decimal(0),
        [sku.code for sku in one.skus],
    )


def standing_rank(one: OfferAnswer) -> int:
    """0 approved by the car's maker on evidence, 1 fitted when new or else listed, 2 the rest."""
    by_rule = one.verdict.by_rule
    approved = [
        finding for finding in by_rule.get("approval", ()) if finding.point in ("maker", "list")
    ]
    if approved and all(finding.outcome is Outcome.SUITS for finding in approved):
        return 0
    sizes = by_rule.get("size", ())
    return 1 if sizes and all(finding.outcome is Outcome.SUITS for finding in sizes) else 2
