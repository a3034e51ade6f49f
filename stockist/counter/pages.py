"""What the counter's templates are given: every answer in words, nothing left to work out."""

from __future__ import annotations

import uuid
from dataclasses import dataclass, replace
from datetime import datetime

from django.conf import settings
from django.http import QueryDict

from fitments.lookup.spots import AsItStands
from fitments.rules.values import Axle, Market, Use
from stockist.counter import wording
from stockist.counter.answer import Answer, OfferAnswer, PartAnswer, Question
from stockist.counter.forms import CarForm, UseForm, WishForm
from stockist.counter.promising import FOR_ORDER
from stockist.counter.wheels_form import WheelsForm

FROM, WHY = "from", "why"
OFFERS = 8
"""So many offers of each part are on a page."""
TOLD_IN_FULL = 1
"""Of so many of each part the reasons are all there; those of another are a link away."""


def limit_of(form: WishForm) -> int:
    """The age limit in months: the stricter of the customer's and the house's."""
    years = form.cleaned_data.get("limit") if form.is_bound else None
    house: int = settings.HOUSE_AGE_LIMIT_MONTHS
    return min(years * 12, house) if years else house


def question(form: CarForm) -> Question:
    """The question that a valid form (or an empty one) asks."""
    cleaned = form.cleaned_data if form.is_bound else {}
    return Question(
        variant=form.variant,
        built=form.built_span(),
        use=Use(cleaned.get("use") or Use.ROAD),
        market=Market(cleaned.get("market") or Market.GB),
        stands=form.as_it_stands(settings.HOUSE_AGE_LIMIT_MONTHS),
        wishes=form.wishes(),
        competition_class=cleaned.get("competition_class"),
    )


@dataclass(frozen=True, slots=True)
class Shown:
    """Which part of an answer a page shows: offers from one number on, all reasons of one offer."""

    first: int = 0
    why: str = ""

    @classmethod
    def of(cls, query: QueryDict) -> Shown:
        """As an address says it; what makes no sense is the beginning."""
        number = query.get(FROM, "")
        plain = number.isascii() and number.isdecimal() and len(number) < 5
        return cls(int(number) if plain else 0, query.get(WHY, "")[:200])


def without_shown(query: QueryDict) -> QueryDict:
    """The question that an address asks, whatever part of its answer is shown, for any order."""
    asked = query.copy()
    for name in (FROM, WHY, FOR_ORDER):
        asked.pop(name, None)
    return asked


@dataclass(frozen=True, slots=True)
class PartSaid:
    built: object
    offers: tuple[wording.OfferSaid, ...]
    refused: tuple[wording.OfferSaid, ...]
    first_size: str
    why_nothing: str
    count: int
    first: int
    last: int
    onward: int | None
    why_refused: bool


@dataclass(frozen=True, slots=True)
class AnswerSaid:
    parts: tuple[PartSaid, ...]
    dividing_days: tuple[object, ...]


@dataclass(frozen=True, slots=True)
class Summary:
    """The question in a line: sizes, speed, use and market, wheels."""

    sizes: str
    speed: str
    terms: str
    wheels: str


def wheels_question(form: WheelsForm) -> Question:
    """The question that a valid form for a car that is not listed asks."""
    cleaned = form.cleaned_data
    return Question(
        variant=None,
        built=cleaned["built"],
        spots=form.spots(settings.HOUSE_AGE_LIMIT_MONTHS),
        use=Use(cleaned["use"] or Use.ROAD),
        market=Market(cleaned["market"] or Market.GB),
        stands=AsItStands(
            customer_limit_months=form.limit_months(),
            house_limit_months=settings.HOUSE_AGE_LIMIT_MONTHS,
        ),
        wishes=form.wishes(),
        competition_class=cleaned["competition_class"],
    )


def answer_page(
    car: str, form: UseForm, answer: Answer | None, at: datetime, shown: Shown
) -> dict[str, object]:
    """The context of an answer; without an answer the form says what was wrong."""
    built = answer.question.built if answer else None
    return {
        "car": car,
        "form": form,
        "built": built,
        "why": shown.why,
        "answer": _answer_said(answer, at, shown) if answer else None,
        "summary": _summary(answer) if answer else None,
        "pressures": _pressures(answer) if answer else (),
        "car_words": f"{car}, built {built.words}" if built else car,
    }


def _answer_said(answer: Answer, at: datetime, shown: Shown) -> AnswerSaid:
    page = uuid.uuid4()
    parts = [_part_said(part, at, page, number, shown) for number, part in enumerate(answer.parts)]
    return AnswerSaid(tuple(parts), answer.dividing_days)


def _part_said(
    part: PartAnswer, at: datetime, page: uuid.UUID, part_number: int, shown: Shown
) -> PartSaid:
    fitted = [one for spot in part.spots.values() for one in spot.fitted]

    def said(one: OfferAnswer, key: str, number: int, code: str) -> wording.OfferSaid:
        why = f"{part_number}|{one.offer.code}"
        return replace(
            wording.offer_said(one, part, at, f"{page}-{part_number}-{key}{number}"),
            code=code and why,
            why=why,
            told=why == shown.why or (bool(code) and shown.first + number < TOLD_IN_FULL),
        )

    last = shown.first + len(part.offers)
    return PartSaid(
        part.built,
        tuple(said(one, "", number, "code") for number, one in enumerate(part.offers)),
        tuple(said(one, "r", number, "") for number, one in enumerate(part.refused)),
        fitted[0].size.canonical if fitted else "",
        "" if fitted else "No size is on record for it: type the wheels and the tyre now on it.",
        part.count,
        shown.first,
        last,
        last if last < part.count else None,
        any(shown.why == f"{part_number}|{one.offer.code}" for one in part.refused),
    )


def _summary(answer: Answer) -> Summary:
    asked = answer.question
    sizes = []
    for part in answer.parts:
        for axle, spot in part.spots.items():
            for one in spot.fitted:
                if spot.built is None or one.built.overlaps(spot.built):
                    sizes.append((axle, one.size.canonical, one.standing.words))
    fronts = dict.fromkeys((size, words) for axle, size, words in sizes if axle is Axle.FRONT)
    rears = dict.fromkeys((size, words) for axle, size, words in sizes if axle is Axle.REAR)
    if fronts == rears:
        listed = ", ".join(f"{size} {words}" for size, words in fronts)
    else:
        listed = "; ".join(
            f"{where} " + ", ".join(f"{size} {words}" for size, words in some)
            for where, some in (("front", fronts), ("rear", rears))
        )
    fastest = answer.parts[0].spots[Axle.FRONT].top_speed_kmh
    speed = f"{fastest} km/h" if fastest else "top speed not on record"
    terms = f"{asked.use} use, {asked.market.words}"
    if asked.competition_class:
        terms += f", {asked.competition_class}{_admitted(asked)}"
    return Summary(listed or "no size on record", speed, terms, _wheels(answer))


def _admitted(asked: Question) -> str:
    """Whether the class admits this car, by what was known of the class then."""
    ran = asked.competition_class
    if asked.variant is None or ran is None:
        return ""
    if not ran.admitted:
        return " (which cars it admits is not on record)"
    if asked.variant.pk in ran.admitted:
        return " (it admits this car)"
    return " (this car is not among those it admits, as on record: ask the organiser)"


def _wheels(answer: Answer) -> str:
    stands = answer.question.stands
    spots = answer.parts[0].spots
    rims = []
    for spot in spots.values():
        width = f"{spot.width_in:g} in on " if spot.width_in else ""
        rims.append(f"{width}a {spot.rim_mm} mm rim" if spot.rim_mm else "rim not on record")
    told = " and ".join(dict.fromkeys(rims))
    typed = stands.typed or answer.question.variant is None
    how = "typed in" if typed else stands.wheel or "as listed"
    return f"wheels {how}: {told}"


@dataclass(frozen=True, slots=True)
class PressureSaid:
    axle: str
    size: str
    condition: str
    kpa: int
    bar: str
    source: str


def _pressures(answer: Answer) -> tuple[PressureSaid, ...]:
    """Every pressure that a source states; never one that was worked out."""
    return tuple(
        PressureSaid(str(axle), one.size, one.when, one.kpa, f"{one.kpa / 100:.2f}", one.source)
        for axle, spot in answer.parts[0].spots.items()
        for one in spot.pressures
    )
