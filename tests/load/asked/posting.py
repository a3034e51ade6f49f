"""Postings by one writer, by eight, and by eight on one row: ours and the bare writes by turns."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from django.contrib.auth.models import User
from django.db import connection, connections

from inventory.ledger.post import Move, post
from inventory.models.posting import LedgerLine, Posting
from tests.load.asked.asking import Differs, raw_connection
from tests.load.table import AtLeast, Pair, Row

ROUNDS = 6  # of ours, and as many of the raw way between them
# The same rows under the same keys, constraints and triggers, in one statement.
BARE = """
WITH booked AS (
    UPDATE inventory_balance SET on_hand = on_hand + %(tyres)s
    WHERE lot_id = %(lot)s AND place_id = %(place)s AND on_hand + %(tyres)s >= held
    RETURNING lot_id, place_id
), said AS (
    INSERT INTO inventory_posting (kind, at, recorded_by_id, document, note)
    SELECT %(kind)s, %(at)s, %(by)s, '', '' FROM booked RETURNING id
)
INSERT INTO inventory_ledgerline (posting_id, lot_id, place_id, on_hand_change, held_change)
SELECT said.id, booked.lot_id, booked.place_id, %(tyres)s, 0 FROM said, booked
"""
Write = Callable[[int, int, int], object]


@dataclass(frozen=True)
class Round:
    """What one writer does: tyres in and out again on these balances until a moment."""

    ours: bool
    by: int
    at: datetime
    pairs: Sequence[tuple[int, int]]
    start: float
    seconds: float


def ours(by: int, at: datetime) -> Write:
    """A posting as the shop makes it."""
    clerk = User(pk=by)

    def write(lot: int, place: int, tyres: int) -> None:
        kind = "receipt" if tyres > 0 else "despatch"
        post(kind=kind, lines=[Move(lot, place, tyres)], by=clerk, at=at)

    return write


def bare(session: Any, by: int, at: datetime) -> Write:
    """The bare rows."""

    def write(lot: int, place: int, tyres: int) -> None:
        given = {"lot": lot, "place": place, "tyres": tyres, "at": at, "by": by}
        kind = "receipt" if tyres > 0 else "despatch"
        assert session.execute(BARE, {**given, "kind": kind}).rowcount == 1

    return write


def writing(todo: Round) -> list[float]:
    """One writer's round: how long each posting took, in seconds."""
    connection.ensure_connection()
    with raw_connection() as session:
        write = ours(todo.by, todo.at) if todo.ours else bare(session, todo.by, todo.at)
        write(*todo.pairs[0], 1), write(*todo.pairs[0], -1)
        time.sleep(max(0.0, todo.start - time.time()))
        took: list[float] = []
        number, end = 0, time.perf_counter() + todo.seconds
        while time.perf_counter() < end:
            pair = todo.pairs[number % len(todo.pairs)]
            for tyres in (1, -1):
                start = time.perf_counter()
                write(*pair, tyres)
                took.append(time.perf_counter() - start)
            number += 1
    connections.close_all()
    return took


def row(
    asked: str,
    pairs: Sequence[Sequence[tuple[int, int]]],
    *,
    writers: Executor,
    by: int,
    at: datetime,
    seconds: float,
) -> Row:
    """So many writers as there are lists of balances, in rounds of ours and of the bare writes."""
    todo = Round(True, by, at, (), 0, seconds / ROUNDS)
    took: dict[bool, list[float]] = {True: [], False: []}
    for number in range(2 * ROUNDS):
        is_ours = number % 4 in (0, 3)
        start = time.time() + 0.05 + 0.02 * len(pairs)
        rounds = [replace(todo, ours=is_ours, pairs=some, start=start) for some in pairs]
        for times in writers.map(writing, rounds):
            took[is_ours] += times
    # No writer rests between two postings.
    fast, bare_rate = (len(pairs) * len(took[way]) / sum(took[way]) for way in (True, False))
    return Row(asked, Pair(took[True], took[False]), AtLeast(0.6), (fast, bare_rate))


def alike(pair: tuple[int, int], by: int, at: datetime) -> None:
    """Both ways leave the same rows behind. Raises `Differs`."""
    ours(by, at)(*pair, 1)
    with raw_connection() as session:
        bare(session, by, at)(*pair, 1)
        ours(by, at)(*pair, -1), bare(session, by, at)(*pair, -1)
    rows = list(Posting.objects.order_by("-pk")[:4])
    told = [_told(row) for row in rows]
    if told[0] != told[1] or told[2] != told[3]:
        raise Differs(f"postings: {told}")


def _told(posting: Posting) -> tuple[Any, ...]:
    head = (posting.kind, posting.at, posting.recorded_by_id, posting.document)
    lines = LedgerLine.objects.filter(posting=posting).order_by("pk")
    columns = ("lot_id", "place_id", "on_hand_change", "held_change")
    return (*head, posting.corrects_id, posting.note, list(lines.values_list(*columns)))
