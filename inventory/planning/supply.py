"""How long an order takes to come, and when it must be placed: terms, batches, cut-off dates."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from inventory.planning.arrays import Flags, Floats, Ints

HOUSE_LEAD_DAYS = 28
"""Reckoned with where a SKU has no terms (common practice, no source)."""
BATCH_GAP_DAYS = 182
"""Reckoned with after the last batch announced (common practice, no source)."""
ANY_TIME = -1
_NO_RUN = (ANY_TIME, ANY_TIME, 0, 0)


@dataclass(frozen=True, slots=True)
class Batch:
    """A production run: orders are taken until ``order_by``, goods come on ``ready_on``."""

    code: str
    order_by: date
    ready_on: date


@dataclass(frozen=True, slots=True)
class Terms:
    """What suppliers ask; (SKUs,) each.

    ``lead`` are days, below nought where there are no terms; ``spread`` days that goods are nearly
    always no more early or late than. ``calendar`` is the row of the calendar of batches that make
    the SKU, ``ANY_TIME`` where it is ordered at any time.
    """

    lead: Ints
    spread: Ints
    minimum: Ints
    pack: Ints
    calendar: Ints


@dataclass(frozen=True, slots=True)
class Supply:
    """When the next order can land and what it must last for; (SKUs,) each, in days from today.

    ``lands`` is when what is ordered now comes; ``until`` when the order after it comes.
    ``spread`` is the standard deviation of the first, in days. ``batch`` is the row in ``batches``
    of the run that takes the order, ``ANY_TIME`` where it is none; ``missed`` likewise the run
    whose cut-off date was the last to pass. ``without_terms`` were reckoned with the house's lead
    time, ``unannounced`` are made in batches of which none is open. ``ready`` are, for each of
    ``batches``, the days on which it and the later ones of its calendar are ready.
    """

    lands: Ints
    until: Ints
    spread: Floats
    minimum: Ints
    pack: Ints
    batch: Ints
    missed: Ints
    without_terms: Flags
    unannounced: Flags
    batches: tuple[Batch, ...]
    ready: tuple[tuple[int, ...], ...]


def supply(
    terms: Terms, calendars: Sequence[Sequence[Batch]], *, today: date, review: int
) -> Supply:
    """The next order of every SKU. ``review`` are the days from one order to the next."""
    batches = tuple(batch for calendar in calendars for batch in calendar)
    runs = np.array([_next_runs(each, batches, today) for each in calendars] or [_NO_RUN])
    without = terms.lead < 0
    lead = np.where(without, HOUSE_LEAD_DAYS, terms.lead)
    in_runs = terms.calendar != ANY_TIME
    mine = runs[np.where(in_runs, terms.calendar, 0)]
    batch = np.where(in_runs, mine[:, 0], ANY_TIME)
    lands = np.where(batch == ANY_TIME, lead, mine[:, 2])
    gap = np.where(batch == ANY_TIME, max(review, 1), mine[:, 3])
    return Supply(
        lands,
        lands + gap,
        np.where(batch == ANY_TIME, np.minimum(terms.spread, lead) / 2.0, 0.0),
        np.maximum(terms.minimum, 1),
        np.maximum(terms.pack, 1),
        batch,
        np.where(in_runs, mine[:, 1], ANY_TIME),
        without,
        in_runs & (batch == ANY_TIME),
        batches,
        tuple(
            tuple(sorted((each.ready_on - today).days for each in calendar if _later(each, batch)))
            for calendar in calendars
            for batch in calendar
        ),
    )


def _later(batch: Batch, than: Batch) -> bool:
    return batch.ready_on >= than.ready_on


def _next_runs(
    calendar: Sequence[Batch], batches: Sequence[Batch], today: date
) -> tuple[int, int, int, int]:
    """The run that is open, the one last missed, days until the first is ready, and to the next."""
    by_day = sorted(calendar, key=lambda batch: (batch.ready_on, batch.order_by))
    open_ = [batch for batch in by_day if batch.order_by >= today]
    missed = [batch for batch in by_day if batch.order_by < today]
    last = batches.index(missed[-1]) if missed else ANY_TIME
    if not open_:
        return ANY_TIME, last, 0, 0
    first = open_[0]
    later = [batch.ready_on for batch in open_ if batch.ready_on > first.ready_on]
    gap = (later[0] - first.ready_on).days if later else BATCH_GAP_DAYS
    return batches.index(first), last, (first.ready_on - today).days, gap
