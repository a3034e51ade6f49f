"""The books of all days, counted in months or weeks."""

from __future__ import annotations

import numpy as np

from inventory.planning.arrays import Flags, Floats, Ints
from inventory.planning.demand import History
from inventory.reordering.books import Books, Ledger
from inventory.reordering.calendar import Periods


def history_of(books: Books, periods: Periods, skus: int) -> History:
    """Pieces and the share of days with something to sell; (SKUs, periods) each.

    Periods of which no book tells of a SKU are NaN. A month of earlier sales falls into the period
    of its first day.
    """
    ledger, earlier = books.ledger, books.earlier
    sold = _counted(ledger.row, ledger.day, ledger.sold, periods, skus)
    sold += _counted(earlier.row, earlier.day, earlier.sold, periods, skus)
    asked = books.asked
    had = ledger.had_some(asked.row, asked.day)
    unmet = _counted(asked.row[had], asked.day[had], asked.pieces[had], periods, skus)
    vain = _counted(asked.row[~had], asked.day[~had], asked.pieces[~had], periods, skus)
    vain += _counted(earlier.row, earlier.day, earlier.vain, periods, skus)
    on_shelf = _days_on_shelf(ledger, periods, skus) / periods.lengths
    on_shelf += _earlier_share(books, periods, skus)
    on_shelf = np.minimum(on_shelf, 1.0)
    on_shelf[~_known(books, periods, skus)] = np.nan
    return History(sold, unmet, vain, on_shelf)


def _counted(row: Ints, day: Ints, pieces: Ints | Floats, periods: Periods, skus: int) -> Floats:
    """The sum of pieces by SKU and period."""
    period = periods.of(day)
    mine = (period >= 0) & (period < periods.count)
    place = row[mine] * periods.count + period[mine]
    found = np.bincount(place, pieces[mine], skus * periods.count)
    return found.reshape(skus, periods.count).astype(float)


def _days_on_shelf(ledger: Ledger, periods: Periods, skus: int) -> Floats:
    """Days of each period on which there was something to sell."""
    some = ledger.level > 0
    row = ledger.row[some]
    ends = _days_before(row, ledger.until[some], periods, skus)
    return ends - _days_before(row, ledger.day[some], periods, skus)


def _days_before(row: Ints, day: Ints, periods: Periods, skus: int) -> Floats:
    """Of each period the days before a day, summed over a SKU's days: all of the periods before
    that of the day, and the part of its own that has passed."""
    period = periods.of(day)
    seen = period >= 0
    row, day, period = row[seen], day[seen], period[seen]
    shape = (skus, periods.count + 1)
    place = row * shape[1] + period
    passed = np.bincount(place, day - periods.edges[period], shape[0] * shape[1]).reshape(shape)
    number = np.bincount(place, minlength=shape[0] * shape[1]).reshape(shape)
    later = np.cumsum(number[:, ::-1], axis=1)[:, ::-1][:, 1:]
    return passed[:, :-1] + later * periods.lengths


def _earlier_share(books: Books, periods: Periods, skus: int) -> Floats:
    """The share of days with something to sell, as the other books say it of a month."""
    earlier = books.earlier
    period = np.clip(periods.of(earlier.day), 0, periods.count - 1)
    days = np.maximum(periods.lengths[period], 28)
    share = np.clip(1.0 - earlier.without / days, 0.0, 1.0)
    return _counted(earlier.row, earlier.day, share, periods, skus)


def _known(books: Books, periods: Periods, skus: int) -> Flags:
    """The periods of which something is known of a SKU: months of other books, and all since its
    first entry in the ledger, or, where it was sold before, since the ledger's own first."""
    ledger, earlier = books.ledger, books.earlier
    one = np.ones(earlier.row.size)
    told = _counted(earlier.row, earlier.day, one, periods, skus) > 0
    since = np.full(skus, periods.count)
    if ledger.row.size:
        since[earlier.row] = max(int(periods.of(ledger.day.min())), 0)
    np.minimum.at(since, ledger.row, np.maximum(periods.of(ledger.day), 0))
    return np.asarray(told | (np.arange(periods.count)[None, :] >= since[:, None]))
