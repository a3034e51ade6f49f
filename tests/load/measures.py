"""How good a forecast is: errors of the mean, and what following its levels would have cost."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from inventory.planning.filling import Protection
from tests.load.rivals import Outlook
from tests.load.shop import Series

HELD_OUT, LEAD, REVIEW = 12, 3, 1
WHOLE = LEAD + REVIEW
LEVELS = (0.5, 0.7, 0.8, 0.9, 0.95, 0.97, 0.98, 0.99, 0.995, 0.999)
Method = Callable[[Series, int], Outlook]


@dataclass(frozen=True)
class Scores:
    """``rmsse`` over 3 months, ``pinball`` by chance and ``covered`` at 0.95 over the protection
    interval. ``asked_95`` is the fill achieved by one who asks for 95 %; ``stock_95`` the months
    of demand held to reach it, infinite if no level does."""

    rmsse: float
    pinball: dict[float, float]
    covered: float
    stock_95: float
    asked_95: float | None


def scores(method: Method, series: Series) -> Scores:
    """All of them; the model is refitted every month of the held-out year."""
    outlooks = {month: method(_until(series, month), WHOLE) for month in _months(series)}
    pinball = {share: _pinball(series, outlooks, share) for share in (0.9, 0.95)}
    asked = None
    if next(iter(outlooks.values())).protection is not None:
        asked = _follow(series, outlooks, _for_fill)[0]
    return Scores(
        _rmsse(series, outlooks, 3),
        pinball,
        _covered(series, outlooks),
        _stock_95(series, outlooks),
        asked,
    )


def _until(series: Series, month: int) -> Series:
    return replace(series, units=series.units[:, :month], listed=series.listed[:, :month])


def _months(series: Series) -> range:
    """The held-out year, and one protection interval to warm up in."""
    end = series.units.shape[1]
    return range(end - HELD_OUT - WHOLE, end)


def _origins(series: Series, ahead: int) -> Iterator[tuple[int, np.ndarray]]:
    """Each origin of the held-out year, and what was sold in so many months after it."""
    end = series.units.shape[1]
    for month in range(end - HELD_OUT, end - ahead + 1):
        yield month, series.units[:, month : month + ahead].sum(axis=1)


def _rmsse(series: Series, outlooks: dict[int, Outlook], ahead: int) -> float:
    """Root of the mean over SKUs and origins of squared errors, each scaled by so many of the
    SKU's own month-to-month changes before the held-out year.

    A mean over SKUs of roots would put always zero first."""
    known = series.units[:, :-HELD_OUT]
    scale = (np.diff(known, axis=1) ** 2).mean(axis=1)
    some = scale > 0
    if not some.any():  # nothing ever changed: there is no scale to measure by
        return float("nan")
    squared = [
        ((sold - outlooks[month].months[:, :ahead].sum(axis=1)) ** 2)[some] / scale[some] / ahead
        for month, sold in _origins(series, ahead)
    ]
    return float(np.sqrt(np.mean(squared)))


def _pinball(series: Series, outlooks: dict[int, Outlook], share: float) -> float:
    """The pinball loss of the level over all demand."""
    loss = total = 0.0
    for month, sold in _origins(series, WHOLE):
        over = sold - outlooks[month].level(share, WHOLE)
        loss += float(np.maximum(share * over, (share - 1) * over).sum())
        total += float(sold.sum())
    return loss / total


def _covered(series: Series, outlooks: dict[int, Outlook]) -> float:
    """The share of outcomes that the 95 % level is enough for."""
    return float(
        np.mean(
            [sold <= outlooks[month].level(0.95, WHOLE) for month, sold in _origins(series, WHOLE)]
        )
    )


def _for_fill(outlook: Outlook) -> np.ndarray:
    assert outlook.protection is not None
    protection: Protection = outlook.protection(LEAD, WHOLE)
    return protection.level_for_fill(0.95)


def _stock_95(series: Series, outlooks: dict[int, Outlook]) -> float:
    """Months of demand held to serve 95 % of the pieces, the chance asked for being swept."""
    fills, stocks = [], []
    for share in LEVELS:
        fill, stock = _follow(series, outlooks, lambda each, share=share: each.level(share, WHOLE))
        fills.append(fill)
        stocks.append(stock)
        if fill >= 0.96:
            break
    if fills[-1] < 0.95:
        return float("inf")
    order = np.argsort(fills, kind="stable")
    return float(np.interp(0.95, np.array(fills)[order], np.array(stocks)[order]))


def _follow(
    series: Series, outlooks: dict[int, Outlook], level: Callable[[Outlook], np.ndarray]
) -> tuple[float, float]:
    """Order up to the level every month, goods come three months later, what is not had waits.

    Returns the share of pieces served at once, and the months of demand in stock on average."""
    months = _months(series)
    served = asked = held = 0.0
    stock: np.ndarray | None = None
    coming: list[np.ndarray] = []
    for month in months:
        wanted = level(outlooks[month])
        if stock is None:
            stock, coming = wanted, [np.zeros_like(wanted)] * LEAD
        coming.append(np.maximum(wanted - stock - sum(coming), 0))
        stock = stock + coming.pop(0)
        sold = series.units[:, month]
        if month >= months.stop - HELD_OUT:
            served += float(np.clip(stock, 0, sold).sum())
            asked += float(sold.sum())
            held += float(np.maximum(stock - sold, 0).sum())
        stock = stock - sold
    return served / asked, held / asked
