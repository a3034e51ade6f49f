"""Proving every balance from its ledger lines."""

from __future__ import annotations

from dataclasses import dataclass

from django.db import connection

# One pass over an index that holds the four columns, in its own order; nothing is sorted.
_DIFFERENCES = """
WITH said AS (
    SELECT lot_id, place_id, sum(on_hand_change) AS on_hand, sum(held_change) AS held, true AS any
    FROM inventory_ledgerline l {of_lines} GROUP BY lot_id, place_id
), kept AS (SELECT lot_id, place_id, on_hand, held, true AS any FROM inventory_balance l {of_lines})
SELECT lot_id, place_id, coalesce(kept.on_hand, 0), coalesce(kept.held, 0),
    coalesce(said.on_hand, 0), coalesce(said.held, 0)
FROM said FULL JOIN kept USING (lot_id, place_id)
WHERE (coalesce(said.on_hand, 0), coalesce(said.held, 0))
    IS DISTINCT FROM (coalesce(kept.on_hand, 0), coalesce(kept.held, 0)) OR kept.any IS NULL
ORDER BY lot_id, place_id LIMIT %(most)s
"""
_TOUCHED = """
WHERE (lot_id, place_id) IN (
    SELECT t.lot_id, t.place_id FROM inventory_ledgerline t WHERE t.posting_id > %(since)s)
"""


@dataclass(frozen=True, slots=True)
class Difference:
    """One balance that is not the sum of its lines."""

    lot_id: int
    place_id: int
    on_hand: int
    held: int
    lines_on_hand: int
    lines_held: int


def differences(*, since: int | None = None, most: int = 100) -> list[Difference]:
    """Balances that are not the sum of their lines, by lot and place; no more than `most`.

    With `since` only those touched by postings after that number, each proved from all its lines.
    Numbers are given before a posting is committed: go back a little where others are at work.
    """
    query = _DIFFERENCES.format(of_lines="" if since is None else _TOUCHED)
    with connection.cursor() as cursor:
        cursor.execute(query, {"since": since, "most": most})
        return [Difference(*row) for row in cursor.fetchall()]


def counted(*, since: int | None = None) -> tuple[int, int]:
    """How many balances and how many lines `differences` has looked at."""
    of_lines = "" if since is None else _TOUCHED
    with connection.cursor() as cursor:
        cursor.execute(
            f"SELECT (SELECT count(*) FROM inventory_balance l {of_lines}),"  # noqa: S608
            f" (SELECT count(*) FROM inventory_ledgerline l {of_lines})",
            {"since": since},
        )
        balances, lines = cursor.fetchone()
        return balances, lines
