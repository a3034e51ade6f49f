"""What happened to the lots: postings, ledger lines, holds, and the balances that are their sums.

Every lot came once; a quarter were moved to a rack; sales are held first and picked two hours
later, mostly lots of two axles in one posting. The number of lines comes out exactly as asked for.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np

from inventory.models.balance import Balance
from inventory.models.hold import Hold, HoldLine
from inventory.models.posting import LedgerLine, Posting
from tests.load.made.copying import copy
from tests.load.made.stock import CUSTOMERS, DAY, OTHERS, Lots

KINDS = ("receipt", "move", "hold", "pick")
RECEIPT, MOVE, HOLD, PICK = range(4)
TOGETHER = 4  # lots of one delivery that are booked together
CHUNK = 200_000


@dataclass(frozen=True)
class Lines:
    """Columns of ledger lines; ``group`` numbers those of one posting, from nought in each part."""

    group: np.ndarray
    lot: np.ndarray
    place: np.ndarray
    on_hand: np.ndarray
    held: np.ndarray


@dataclass(frozen=True)
class Part:
    """Postings of one kind, each with its time in seconds since 1970, and their lines."""

    kind: int
    time: np.ndarray
    lines: Lines


def books(rng: np.random.Generator, lots: Lots, lines: int, by: int, at: datetime) -> None:
    """Fill the ledger with so many lines, and balances to match."""
    count, moved = len(lots.sku), np.flatnonzero(lots.moved)
    now = int(at.timestamp())
    held = count // 200 + (lines - count - count // 200) % 2
    sales = (lines - count - 2 * len(moved) - held) // 2
    if sales < 0:
        raise ValueError(f"{lines} lines are too few for {count} lots.")
    sold_of = np.sort(rng.choice(count, sales, p=_pace(rng, lots)))
    pieces = rng.choice([1, 2, 4], sales, p=[0.1, 0.5, 0.4])
    sold = np.bincount(sold_of, weights=pieces, minlength=count).astype(int)
    left = np.where(rng.random(count) < 0.45, 0, rng.geometric(0.2, count))
    holding = rng.permutation(np.flatnonzero(lots.whose >= OTHERS))[:held]
    left[holding] = np.maximum(left[holding], 2)
    left[sold + left == 0] = 1
    _write(_parts(rng, lots, (sold_of, pieces), sold + left, holding, now), by)
    _holds(holding, lots, by, at)
    _balances(lots, left, holding)


def _pace(rng: np.random.Generator, lots: Lots) -> np.ndarray:
    """How much was sold of each lot against others: more of what came long ago."""
    weight = rng.lognormal(0, 0.8, len(lots.sku)) * (lots.came.max() - lots.came + 30)
    return weight / weight.sum()


def _parts(
    rng: np.random.Generator,
    lots: Lots,
    sales: tuple[np.ndarray, np.ndarray],
    quantity: np.ndarray,
    holding: np.ndarray,
    now: int,
) -> list[Part]:
    count, moved = len(lots.sku), np.flatnonzero(lots.moved)
    came = lots.came * DAY + DAY // 2
    nobody = np.zeros(count, int)
    whole = Lines(np.arange(count) // TOGETHER, np.arange(count), lots.first, quantity, nobody)
    receipts = Part(RECEIPT, came[::TOGETHER], whole)
    both = np.repeat(moved, 2)
    places = np.stack([lots.first[moved], lots.last[moved]], axis=1).ravel()
    there = np.stack([-quantity[moved], quantity[moved]], axis=1).ravel()
    to_racks = Lines(np.arange(len(both)) // 2, both, places, there, nobody[both])
    moves = Part(MOVE, came[moved] + DAY, to_racks)
    since = came[sales[0]] + 2 * DAY
    time = since + (rng.random(len(since)) * (now - 6 * DAY - since)).astype(int)
    order = np.argsort(time, kind="stable")
    lot, pieces, time = sales[0][order], sales[1][order], time[order]
    group = _pairs(lot)
    at = np.zeros(group.max(initial=-1) + 1, int)
    at[group[::-1]] = time[::-1]
    place, none = lots.last[lot], np.zeros(len(lot), int)
    held = Part(HOLD, at, Lines(group, lot, place, none, pieces))
    picked = Part(PICK, at + 7200, Lines(group, lot, place, -pieces, -pieces))
    open_ = Lines(
        np.arange(len(holding)), holding, lots.last[holding], nobody[holding], nobody[holding] + 2
    )
    standing = Part(HOLD, now - 3 * DAY + np.arange(len(holding)), open_)
    return [receipts, moves, held, picked, standing]


def _pairs(lot: np.ndarray) -> np.ndarray:
    """Numbers of postings: two neighbours in one, unless they are of the same lot."""
    group = np.arange(len(lot)) // 2
    alone = np.flatnonzero(lot[1::2] == lot[: len(lot) - 1 : 2]) * 2 + 1
    group[alone] = group.max(initial=-1) + 1 + np.arange(len(alone))
    return group


def _write(parts: list[Part], by: int) -> None:
    """Postings in the order of time, lines in the order of postings."""
    offsets = np.cumsum([0, *(len(part.time) for part in parts)])
    time = np.concatenate([part.time for part in parts])
    kind = np.repeat([part.kind for part in parts], [len(part.time) for part in parts])
    order = np.argsort(time, kind="stable")
    number = np.empty(len(time), int)
    number[order] = np.arange(len(time)) + 1
    columns = "id kind at recorded_at recorded_by_id document note"
    copy(Posting, columns, _postings(time[order], kind[order], by))
    posting = np.concatenate(
        [number[part.lines.group + start] for part, start in zip(parts, offsets, strict=False)]
    )
    lot, place, on_hand, held = (
        np.concatenate([getattr(part.lines, name) for part in parts])
        for name in ("lot", "place", "on_hand", "held")
    )
    order = np.argsort(posting, kind="stable")
    columns = "posting_id lot_id place_id on_hand_change held_change"
    copy(LedgerLine, columns, _chunked(order, posting, lot + 1, place, on_hand, held))


def _postings(time: np.ndarray, kind: np.ndarray, by: int) -> Iterator[tuple[Any, ...]]:
    zero = datetime(1970, 1, 1, tzinfo=UTC)
    for n, (second, code) in enumerate(zip(time.tolist(), kind.tolist(), strict=True), start=1):
        moment = (zero + timedelta(seconds=second)).isoformat()
        yield n, KINDS[code], moment, moment, by, f"O-{second}" if code >= HOLD else "", ""


def _chunked(order: np.ndarray, *columns: np.ndarray) -> Iterator[tuple[int, ...]]:
    for start in range(0, len(order), CHUNK):
        part = order[start : start + CHUNK]
        yield from zip(*(column[part].tolist() for column in columns), strict=True)


def _holds(holding: np.ndarray, lots: Lots, by: int, at: datetime) -> None:
    """Holds of a pair; one in a hundred has run out, and nobody has let it go yet."""
    made, until = at - timedelta(days=3), (at + timedelta(days=11), at - timedelta(hours=1))
    columns = "id customer_id what why answer until state made_at made_by_id ended_why"
    rows = (
        (n + 1, n % CUSTOMERS + 1, "a pair", "", "{}", until[n % 100 == 0], "open", made, by, "")
        for n in range(len(holding))
    )
    copy(Hold, columns, rows)
    lines = zip((holding + 1).tolist(), lots.last[holding].tolist(), strict=True)
    columns = "hold_id lot_id place_id quantity for_place pinned"
    copy(HoldLine, columns, ((n, *line, 2, "", False) for n, line in enumerate(lines, start=1)))


def _balances(lots: Lots, left: np.ndarray, holding: np.ndarray) -> None:
    held = np.zeros(len(left), int)
    held[holding] = 2
    moved = np.flatnonzero(lots.moved)
    lot = np.concatenate([np.arange(len(left)), moved])
    place = np.concatenate([lots.last, lots.first[moved]])
    empty = np.zeros(len(moved), int)
    on_hand, held = np.concatenate([left, empty]), np.concatenate([held, empty])
    columns = "lot_id place_id on_hand held"
    copy(Balance, columns, _chunked(np.argsort(lot), lot + 1, place, on_hand, held))
