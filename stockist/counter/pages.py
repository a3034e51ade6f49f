"""What the counter's templates are given: every answer in words, nothing left to work out."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.conf import settings
from django.utils import timezone

from fitments.lookup.cars import CarsPage, Fits
from fitments.lookup.span import said
from fitments.lookup.spots import AsItStands
from fitments.rules.values import Axle, DaySpan, Market, Use, Verdict
from inventory.availability import SetAnswer
from inventory.models.sku import Sku
from stockist.counter import wording
from stockist.counter.answer import Answer, PartAnswer, Question
from stockist.counter.forms import CarForm, UseForm, WishForm
from stockist.counter.shelf import ShelfAnswer
from stockist.counter.wheels_form import WheelsForm
from stockist.drawings.ruler import Ruler
from stockist.drawings.sidewall import SidewallPicture, sidewall


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
class PartSaid:
    built: object
    offers: tuple[wording.OfferSaid, ...]
    refused: tuple[wording.OfferSaid, ...]
    first_size: str
    why_nothing: str


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


def answer_page(car: str, form: UseForm, answer: Answer | None, at: datetime) -> dict[str, object]:
    """The context of an answer; without an answer the form says what was wrong."""
    built = answer.question.built if answer else None
    return {
        "car": car,
        "form": form,
        "built": built,
        "answer": _answer_said(answer, at) if answer else None,
        "summary": _summary(answer) if answer else None,
        "pressures": _pressures(answer) if answer else (),
        "car_words": f"{car}, built {built.words}" if built else car,
    }


def _answer_said(answer: Answer, at: datetime) -> AnswerSaid:
    page = uuid.uuid4()
    parts = [_part_said(part, at, f"{page}-{number}") for number, part in enumerate(answer.parts)]
    return AnswerSaid(tuple(parts), answer.dividing_days)


def _part_said(part: PartAnswer, at: datetime, key: str) -> PartSaid:
    fitted = [one for spot in part.spots.values() for one in spot.fitted]
    return PartSaid(
        part.built,
        tuple(
            wording.offer_said(one, part, at, f"{key}-{number}")
            for number, one in enumerate(part.offers)
        ),
        tuple(
            wording.offer_said(one, part, at, f"{key}-r{number}")
            for number, one in enumerate(part.refused)
        ),
        fitted[0].size.canonical if fitted else "",
        "" if fitted else "No size is on record for it: type the wheels and the tyre now on it.",
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
        terms += f", {asked.competition_class}"
    return Summary(listed or "no size on record", speed, terms, _wheels(answer))


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


@dataclass(frozen=True, slots=True)
class ShelfRow:
    """One tyre of a list, with its shelf."""

    skus: tuple[wording.Title, ...]
    status: str
    mark: str
    sets: int | None
    sets_words: str
    why_fewer: str
    price: str
    dates: tuple[str, ...]
    shelf: str
    to_sell: int
    coming: str
    ruler: Ruler | None
    tyres: int


def shelf_rows(answers: Sequence[ShelfAnswer], at: datetime | None = None) -> list[ShelfRow]:
    """Rows for a list, what can be had first."""
    at = at or timezone.now()
    rows = [_shelf_row(one, at) for one in answers]
    return sorted(rows, key=lambda row: (-(row.sets or 0), -row.to_sell))


def _shelf_row(answer: ShelfAnswer, at: datetime) -> ShelfRow:
    sets: SetAnswer | None = answer.sets
    return ShelfRow(
        skus=tuple(wording.Title(sku.code, wording.title_of(sku)) for sku in answer.skus),
        status=answer.sku.get_status_display(),
        mark=f"{answer.sku.mark} {answer.sku.mark_issue}".strip(),
        sets=sets.sets if sets else None,
        sets_words=wording.plural(sets.sets, "set") if sets else f"{answer.to_sell} to sell",
        why_fewer=sets.reason if sets else "",
        price=wording.price_said(sets)
        if sets
        else wording.money(answer.sku.price, answer.sku.currency),
        dates=tuple(wording.lot_said(one) for one in sets.chosen) if sets else (),
        shelf=wording.shelf_said(answer.figures),
        to_sell=answer.to_sell,
        coming=wording.coming_said(answer.figures),
        ruler=wording.ruler_of(sets, answer.lots, timezone.localdate(at)),
        tyres=sum(count for _, count in wording.pieces_wanted(sets)) if sets else 1,
    )


@dataclass(frozen=True, slots=True)
class CarRow:
    """One car that takes the tyre: both axles in one row where they say the same."""

    code: str
    name: str
    axles: str
    built: str
    built_code: str
    standing: str
    verdict: Verdict
    why: str


def car_rows(fits: Sequence[Fits]) -> list[CarRow]:
    """Cars in their order, front and rear of one period in one row where they are judged alike."""
    rows: dict[tuple[object, ...], tuple[Fits, list[str]]] = {}
    for one in fits:
        key = (one.variant.code, one.built, one.standing, one.verdict.outcome)
        rows.setdefault(key, (one, []))[1].append(str(one.axle))
    return [
        CarRow(
            one.variant.code,
            str(one.variant),
            " and ".join(axles),
            _period(one.built),
            one.built.first.isoformat() if one.built.first else "",
            one.standing,
            one.verdict,
            next((finding.words for finding in one.verdict.worst), ""),
        )
        for one, axles in rows.values()
    ]


def _period(built: DaySpan) -> str:
    if built.first and built.last:
        return f"{said(built.first)} to {said(built.last)}"
    if built.first:
        return f"from {said(built.first)}"
    return f"to {said(built.last)}" if built.last else "at any time"


def tyre_page(
    sku: Sku,
    form: WishForm,
    shelf: ShelfAnswer | None,
    fits: CarsPage | None,
    at: datetime,
) -> dict[str, object]:
    """The context of a tyre's page."""
    return {
        "sku": sku,
        "title": wording.title_of(sku),
        "form": form,
        "row": _shelf_row(shelf, at) if shelf else None,
        "cars": car_rows(fits.fits) if fits else [],
        "after": fits.after if fits else None,
        "picture": picture_of(sku) if sku.size else None,
        "key": f"{uuid.uuid4()}",
    }


def picture_of(sku: Sku) -> SidewallPicture:
    """The sidewall of a SKU as it should read."""
    return sidewall(
        size=sku.size,
        service="",
        maker=sku.maker.name,
        pattern=sku.pattern.name if sku.pattern else "",
        mark=sku.mark,
        mark_issue=sku.mark_issue,
        tube=sku.get_tube_display() if sku.tube else "",
        type_approvals=tuple(str(one) for one in sku.type_approvals.all()),
        sidewall_style=sku.sidewall,
    )
