"""The three questions of the trade, asked of the demo and answered in the terminal."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from textwrap import wrap

from django.conf import settings
from django.utils import timezone

from fitments.lookup.cars import cars_for
from fitments.lookup.span import read_span
from fitments.lookup.spots import AsItStands, with_places
from fitments.models.car import Variant
from fitments.rules import cautions
from fitments.rules.values import Market, Use
from inventory.markings import read_size
from inventory.models.sku import Sku
from stockist.counter.answer import Question, which_tyre
from stockist.counter.shelf import shelf_answers
from stockist.counter.shelf_rows import shelf_rows
from stockist.counter.tyre_page import car_rows
from stockist.counter.tyre_search import skus_of_size
from stockist.counter.wishes import Wishes
from stockist.counter.wording import OfferSaid, offer_said, title_of

CAR, BUILT = "LIN-14-SAL", "June 1964"
TYRE = "OKE-CWY-155SR13"
SIZE = "185 70 15"
WIDTH, SHOWN = 88, 4


def answers(at: datetime) -> Iterator[str]:
    """All three, line by line, a screen each."""
    yield from which_tyre_said(at)
    yield from which_cars_said(at)
    yield from have_you_got_it_said(at)


def _head(question: str) -> Iterator[str]:
    yield ""
    yield question
    yield "-" * min(WIDTH, len(question))


def which_tyre_said(at: datetime) -> Iterator[str]:
    variant = with_places(Variant.objects.all()).get(code=CAR)
    yield from _head(f"1. This {variant} of {BUILT}, road use: what does it take, and is it here?")
    stands = AsItStands(house_limit_months=settings.HOUSE_AGE_LIMIT_MONTHS)
    answer = which_tyre(Question(variant=variant, built=read_span(BUILT), stands=stands), at=at)
    part = answer.parts[0]
    for number, offer in enumerate(part.offers[:SHOWN], start=1):
        yield from _offer(number, offer_said(offer, part, at))
    rest = len(part.offers) - SHOWN
    if rest > 0:
        yield f"   ... and {rest} more on the page, each with its reasons."
    yield from wrap(cautions.FITTING, WIDTH, initial_indent="   ", subsequent_indent="   ")


def _offer(number: int, offer: OfferSaid) -> Iterator[str]:
    name = " + ".join(sku.title for sku in offer.skus)
    yield f"{number}. {name}: {offer.sets_words}" + (f", {offer.price}" if offer.price else "")
    yield f"   {'; '.join(tag.words for tag in offer.tags)}"
    for said in offer.leading[:3]:
        yield from wrap(
            f"{said.outcome.sign} {said.words}",
            WIDTH,
            initial_indent="   ",
            subsequent_indent="     ",
        )
    for line in (*offer.dates, offer.why_fewer):
        if line:
            yield from wrap(line, WIDTH, initial_indent="   ", subsequent_indent="   ")


def which_cars_said(at: datetime) -> Iterator[str]:
    sku = Sku.objects.with_names().get(code=TYRE)
    yield from _head(f"2. Which cars does the {title_of(sku)} fit?")
    page = cars_for(
        sku,
        in_force_on=timezone.localdate(at),
        known_on=at,
        use=Use.ROAD,
        market=Market.GB,
    )
    for row in car_rows(page.fits)[:12]:
        outcome = row.verdict.outcome
        yield f"{outcome.sign} {row.name}, {row.axles}, built {row.built}: {row.standing}"
        if row.why and outcome:
            yield from wrap(row.why, WIDTH, initial_indent="    ", subsequent_indent="    ")


def have_you_got_it_said(at: datetime) -> Iterator[str]:
    size = read_size(SIZE)
    yield from _head(f"3. Have you got four of “{SIZE}”? Read as {size}, in any construction.")
    rows = shelf_rows(
        shelf_answers(
            skus_of_size(size), Wishes(), limit_months=settings.HOUSE_AGE_LIMIT_MONTHS, at=at
        ),
        at,
    )
    for row in rows[:10]:
        name = " + ".join(sku.title for sku in row.skus)
        yield f"{row.sets_words:>8}  {name}" + (f", {row.price}" if row.price else "")
        for line in (row.shelf, row.why_fewer, row.coming):
            if line:
                yield from wrap(line, WIDTH, initial_indent=" " * 10, subsequent_indent=" " * 10)
