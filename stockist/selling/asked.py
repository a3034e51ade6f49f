"""An answer of the counter asked for again: the set that is to be held, quoted, ordered, awaited.

A form carries where the answer stands (its address with the question in it) and which offer of it
is meant. Everything else is asked afresh, so that nobody can send what the counter never said.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.http import QueryDict
from django.urls import Resolver404, ResolverMatch, resolve
from django.utils import timezone

from fitments.lookup.spots import with_places
from fitments.models.car import Variant
from fitments.release.promising import phrases
from fitments.rules.approval import withdrawn_for
from fitments.rules.values import Axle
from inventory.availability import Need, SetAnswer
from inventory.ground.refusal import Refusal
from inventory.models.sku import Sku
from inventory.promising import ApprovalWithdrawn
from inventory.release import AGE_LIMIT
from inventory.sets import BadRecipe
from stockist.counter import pages
from stockist.counter.answer import Answer, OfferAnswer, PartAnswer, Question, which_tyre
from stockist.counter.forms import CarForm, WishForm
from stockist.counter.shelf import shelf_answers
from stockist.counter.sites import site_of
from stockist.counter.wheels_form import WheelsForm
from stockist.selling.saying import said_of_offer, what_is

LONGEST = 2000


class AskAgain(Refusal):
    """The answer that is meant cannot be found again."""

    status = 400
    sentence = (
        "The answer that this is about cannot be found again, or does not say so any more: ask "
        "the counter afresh, and go on from there. Nothing was changed."
    )


@dataclass(frozen=True, slots=True)
class SetAsked:
    """One offer as it is answered now: what it is, the question to the shelf, what was said."""

    what: str
    need: Need
    sets: SetAnswer
    said: dict[str, Any] = field(default_factory=dict)


def asked_again(address: str, offer: str, *, at: datetime) -> SetAsked:
    """Ask again what stands at an address of the counter. Raises AskAgain."""
    match, query = _read(address)
    try:
        if match.view_name == "counter:tyre":
            return _of_tyre(match.kwargs["code"], query, at)
        answer = which_tyre(_question(match, query, timezone.localdate(at)), at=at)
    except BadRecipe:
        raise AskAgain from None
    for number, part in enumerate(answer.parts):
        for one in part.offers:
            if f"{number}|{one.offer.code}" == offer and one.sets is not None:
                _refuse_withdrawn(one)
                return _of_offer(answer, part, one, address)
    raise AskAgain


def _refuse_withdrawn(one: OfferAnswer) -> None:
    """Nothing new is promised on an approval from the moment it is withdrawn."""
    every = [judged for part in one.offer.axles for judged in part.judged]
    lost = {fact.code: fact for each in every
            for fact in withdrawn_for(each.tyre, each.spot, each.terms)}  # fmt: skip
    if lost:
        raise ApprovalWithdrawn(phrases(lost.values()))


def first_in_stock(address: str, *, at: datetime) -> SetAsked | None:
    """The first offer of an answer of which a whole set is here; None where there is none."""
    match, query = _read(address)
    answer = which_tyre(_question(match, query, timezone.localdate(at)), at=at)
    for part in answer.parts:
        for one in part.offers:
            if one.in_stock and len(one.offer.axles) == len(answer.question.wanted):
                return _of_offer(answer, part, one, address)
    return None


def _read(address: str) -> tuple[ResolverMatch, QueryDict]:
    parts = urlsplit(address[:LONGEST])
    try:
        return resolve(parts.path), QueryDict(parts.query)
    except (Resolver404, ValueError):
        raise AskAgain from None


def _question(match: ResolverMatch, query: QueryDict, today: Any) -> Question:
    if match.view_name == "counter:car":
        variant = with_places(Variant.objects.all()).filter(code=match.kwargs["code"]).first()
        if variant is not None:
            car = CarForm(query or None, variant=variant, today=today)
            if not car.is_bound or car.is_valid():
                return pages.question(car)
    elif match.view_name == "counter:wheels":
        wheels = WheelsForm(query, today=today)
        if wheels.is_valid():
            return pages.wheels_question(wheels)
    raise AskAgain


def _of_offer(answer: Answer, part: PartAnswer, one: OfferAnswer, address: str) -> SetAsked:
    assert one.sets is not None  # noqa: S101 - the caller has looked
    said = said_of_offer(answer.question, part, one) | {"question": address}
    return SetAsked(what_is(one.sets, one.skus), _need(answer, part, one), one.sets, said)


def _need(answer: Answer, part: PartAnswer, one: OfferAnswer) -> Need:
    """As the counter asked the shelf: the answer's key is the recipe itself."""
    assert one.sets is not None  # noqa: S101 - looked at before
    recipe: Any = one.sets.key
    site = site_of(answer.question.wishes)
    return Need(None, recipe, site, rim_kind=str(part.spots[Axle.FRONT].rim_kind))


def _of_tyre(code: str, query: QueryDict, at: datetime) -> SetAsked:
    sku = Sku.objects.with_names().filter(code__iexact=code).first()
    form = WishForm(query or None, today=timezone.localdate(at))
    if sku is None or (form.is_bound and not form.is_valid()):
        raise AskAgain
    limit = pages.limit_of(form) if form.is_bound else settings.HOUSE_AGE_LIMIT_MONTHS
    wishes = form.wishes()
    (found,) = shelf_answers([sku], wishes, limit_months=limit, at=at)
    if found.sets is None or found.recipe is None:
        raise AskAgain
    need = Need(None, found.recipe, site_of(wishes))
    said = {AGE_LIMIT: wishes.limit_years * 12} if wishes.limit_years else {}
    return SetAsked(what_is(found.sets, found.skus), need, found.sets, said)
