"""Rule 10, age of the actual tyre: against the customer's limit, the house's, an organiser's, and
the law where it speaks. Nothing is said where no actual tyre is meant.
"""

from __future__ import annotations

from datetime import date
from functools import lru_cache

from fitments.rules.values import Condition, Finding, Made, Market, Spot, Terms, Tyre, Use
from fitments.rules.voice import CUSTOM, Findings, Voice
from fitments.rules.words import day, months
from inventory.markings.datecode import oldest_allowed_week, week_index
from inventory.markings.datecode.age import age_between

RULE = "age"
LIMIT = Voice(RULE, f"age counts from the last day of the week: {CUSTOM}", "limit")
LIST = LIMIT.on("list", "the organiser's list")
BUFFING = Voice(RULE, "the organiser's list", "buffing")
LAW = Voice(
    RULE,
    "GB: SI 2020/1178, in force 1 February 2021, speaks of goods vehicles over 3.5 t, buses, "
    "coaches and minibuses (movingon.blog.gov.uk, 9 December 2020)",
    "law",
)
LOOK_AT = "the date code on the sidewall; it may stand on the inner one"


_age = lru_cache(maxsize=4096)(age_between)  # tyres of some hundred weeks, asked about today


def judge_age(tyre: Tyre, spot: Spot, terms: Terms) -> Findings:
    made, ran = tyre.made, spot.competition_class if terms.use is Use.TRACK else None
    if made is None:
        return ()
    limits = [(LIMIT, "the customer's", spot.customer_limit_months)]
    limits += [(LIMIT, "the house's", spot.house_limit_months)]
    limits += [(LIST, f"the limit of {ran},", ran.age_limit_months)] if ran else []
    asked = [
        _limit(says, f"{whose} limit of" if says is LIMIT else whose, limit, made, terms.on)
        for says, whose, limit in limits
        if limit is not None and limit >= 0
    ]
    buffed = _buffing(made, spot) if ran else None
    return (
        *(asked or [_no_limit(made, terms.on)]),
        *([buffed] if buffed else []),
        _law(terms.market),
    )


@lru_cache(maxsize=256)
def _oldest(limit: int, on: date) -> int:
    return oldest_allowed_week(limit_months=limit, on=on)


def _limit(says: Voice, whose: str, limit: int, made: Made, on: date) -> Finding:
    against = f"{whose} {months(limit)}"
    if made.earliest is None or made.latest is None:
        return says.cannot_tell(f"No date code on record, against {against}.", LOOK_AT)
    oldest = _oldest(limit, on)
    if made.last_day is None:
        return _by_span(says, against, oldest, made)
    age = f"Made in the week to {day(made.last_day)}, {_age(made.last_day, on)} old"
    if week_index(made.last_day) < oldest:
        return says.refuses(f"{age}: older than {against}.")
    if week_index(made.earliest) < oldest:
        return says.warns(
            f"{age}: within {against}, but a plant with its own calendar may be a week out."
        )
    return says.suits(f"{age}: within {against}.")


def _by_span(says: Voice, against: str, oldest: int, made: Made) -> Finding:
    """Where the decade is not known: only what holds for every reading is said."""
    between = f"made between {day(made.earliest or date.min)} and {day(made.latest or date.max)}"
    if week_index(made.latest or date.max) < oldest:
        return says.refuses(f"Date code {made.date_code}, {between}: older than {against}.")
    if week_index(made.earliest or date.min) >= oldest:
        return says.suits(f"Date code {made.date_code}, {between}: within {against}.")
    return says.cannot_tell(
        f"Date code {made.date_code} does not tell the decade ({between}), against {against}.",
        LOOK_AT,
    )


def _no_limit(made: Made, on: date) -> Finding:
    if made.last_day is None:
        return LIMIT.suits("No age limit was asked for, and the age is not known.")
    age = f"Made in the week to {day(made.last_day)}, {_age(made.last_day, on)} old"
    return LIMIT.suits(f"{age}; no age limit was asked for.")


def _buffing(made: Made, spot: Spot) -> Finding | None:
    ran = spot.competition_class
    if ran is None or made.condition is not Condition.BUFFED:
        return None
    if ran.buffing_allowed is None:
        words = f"The tyre is buffed, and whether {ran} allows that is not on record."
        return BUFFING.cannot_tell(words, "the organiser's rules on buffing")
    if ran.buffing_allowed:
        return BUFFING.suits(f"The tyre is buffed, and {ran} allows that.")
    return BUFFING.refuses(f"The tyre is buffed, and {ran} does not allow that.")


@lru_cache
def _law(market: Market) -> Finding:
    if market is Market.GB:
        return LAW.suits("For cars the law of Great Britain sets no limit to the age of a tyre.")
    return LAW.on("law", "no law was read").cannot_tell(
        f"Whether the law of {market.words} sets an age limit for cars was not looked up.",
        "the law of the place",
    )
