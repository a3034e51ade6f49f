"""All that the buyer's questions are answered from, read at one moment and learnt from."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

import numpy as np
from django.utils import timezone

from inventory.markings.datecode.age import oldest_allowed_week
from inventory.models.season import Season, SeasonChange
from inventory.planning import (
    Catalogue,
    House,
    Learned,
    Position,
    Purse,
    Situation,
    learn,
    learn_by,
    supply,
)
from inventory.planning.arrays import Floats, Ints
from inventory.planning.changes import Change
from inventory.planning.demand import History
from inventory.reordering.books import Books, read_books
from inventory.reordering.calendar import Periods, months_before
from inventory.reordering.history import history_of
from inventory.reordering.lessons import Kept
from inventory.reordering.range import CATEGORIES, Range, read_range
from inventory.reordering.shelves import read_coming, read_queued, read_shelf
from inventory.reordering.suppliers import Suppliers, read_suppliers

MONTHS = 60
"""Months of history that are learnt from."""
LONGEST_DAYS = 1100
"""How far a season is looked at, whatever day was entered (common practice, no source)."""
NO_SEASON_DAYS = 300
"""How far is looked where the house has entered no season (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Outlook:
    """What was read and learnt. ``season`` is None where the house has entered none that lasts."""

    known: Range
    suppliers: Suppliers
    periods: Periods
    history: History
    learned: Learned
    situation: Situation
    season: Season | None


def season_on(today: date) -> Season | None:
    """The season that lasts, or the next one."""
    return Season.objects.filter(last_day__gte=today).order_by("first_day", "pk").first()


def changes_from(today: date) -> list[Change]:
    """What the buyer says will be otherwise, from today on."""
    rows = SeasonChange.objects.standing().filter(last_day__gte=today)
    return [
        Change(
            CATEGORIES.index(one.category),
            one.first_day,
            one.last_day,
            one.factor,
            one.why,
        )
        for one in rows
    ]


def outlook(
    *,
    at: datetime,
    limit_months: int,
    only: Sequence[int] | None = None,
    taught: Kept | None = None,
) -> Outlook:
    """Read everything and learn from it. As many queries for a hundred thousand SKUs as for one.

    ``limit_months``: above that age the house does not sell. ``only`` these SKUs: then ``taught``
    has what the whole range taught, or else seasons and ranges are learnt from them alone.
    """
    today = timezone.localdate(at)
    known = read_range(only)
    suppliers = read_suppliers(known, today=today)
    books = read_books(known, until=today + timedelta(days=1), only=only)
    periods, history = _since_first_known(books, months_before(today, MONTHS), known.count)
    learned = _learned(history, known, periods.first.month - 1, taught)
    season = season_on(today)
    situation = _situation(known, suppliers, learned, season, at, limit_months)
    return Outlook(known, suppliers, periods, history, learned, situation, season)


def _learned(history: History, known: Range, first_month: int, taught: Kept | None) -> Learned:
    if taught is not None:
        start = taught.start(known)
        return learn_by(history, known.category, start, taught.lessons, first_month=first_month)
    return learn(
        history, known.category, known.family, categories=len(CATEGORIES), first_month=first_month
    )


def _since_first_known(books: Books, periods: Periods, skus: int) -> tuple[Periods, History]:
    """The history from the first month that any book tells of; a year at least."""
    found = history_of(books, periods, skus)
    told = ~np.isnan(found.on_shelf).all(axis=0) if skus else np.zeros(periods.count, bool)
    first = min(int(told.argmax()) if told.any() else periods.count, periods.count - 12)
    columns = (found.sold, found.unmet, found.asked_in_vain, found.on_shelf)
    return Periods(periods.edges[first:]), History(*(each[:, first:] for each in columns))


def _situation(
    known: Range,
    suppliers: Suppliers,
    learned: Learned,
    season: Season | None,
    at: datetime,
    limit_months: int,
) -> Situation:
    today = timezone.localdate(at)
    review = season.review_days if season else 28
    next_order = supply(suppliers.terms, suppliers.calendars, today=today, review=review)
    end = season.last_day if season else today + timedelta(days=NO_SEASON_DAYS)
    end = min(end, today + timedelta(days=LONGEST_DAYS))
    house = House(today, at, end, season.service / 100 if season else 0.95)
    furthest = max((end - today).days, int(next_order.until.max(initial=0))) + 1
    coming = read_coming(known, today=today)
    oldest = oldest_allowed_week(limit_months=limit_months, on=today)
    return Situation(
        house,
        _catalogue(known, suppliers),
        learned,
        Position(
            learned.ahead(changes_from(today), today, furthest),
            read_shelf(known, at=at, oldest_week=oldest),
            coming.moves,
            read_queued(known, today=today),
            next_order,
        ),
        coming.references,
        coming.due,
        suppliers.prices,
    )


def _catalogue(known: Range, suppliers: Suppliers) -> Catalogue:
    names = [category.label for category in CATEGORIES]
    return Catalogue(known.code, known.size, known.place, known.mate, suppliers.cost, names)


def with_purse(found: Outlook, purse: Purse | None) -> Outlook:
    """The same, its alerts told what the season's plan says of their money."""
    return replace(found, situation=replace(found.situation, purse=purse))


def with_terms(found: Outlook) -> frozenset[int]:
    """The SKUs, by number, that a supplier has terms for."""
    return frozenset(found.known.pk[found.suppliers.supplier > 0].tolist())


def asked_by(found: Outlook, days: int) -> Callable[[Ints, Ints], tuple[Floats, Floats]]:
    """What is asked for of SKUs, by their numbers, up to days ahead, no more than so many.

    Nothing where a SKU is not in the catalogue any more.
    """
    today = found.situation.house.today
    ahead = found.learned.ahead(changes_from(today), today, days)

    def asked(sku: Ints, day: Ints) -> tuple[Floats, Floats]:
        row = found.known.rows(sku)
        mean, variance = ahead.demand(np.maximum(row, 0), np.minimum(day, days))
        return np.where(row >= 0, mean, 0.0), np.where(row >= 0, variance, 0.0)

    return asked
