"""Proving every balance from its lines, and those touched since a mark."""

from __future__ import annotations

from typing import Any

from django.db import connection, transaction

from inventory.ledger.reconcile import differences
from inventory.models.balance import Balance
from inventory.models.posting import Posting
from tests.load.asked.asking import Differs, Question, Raw
from tests.load.table import Row, Within

TOUCHED = 2_000  # postings, as many as a busy day has
_SUMS = """
SELECT lot_id, place_id, sum(on_hand_change)::int AS on_hand, sum(held_change)::int AS held
FROM inventory_ledgerline {0} GROUP BY lot_id, place_id
"""
_BY_HAND = f"""
SELECT lot_id, place_id FROM inventory_balance b
FULL JOIN ({_SUMS}) l USING (lot_id, place_id)
WHERE (b.on_hand, b.held) IS DISTINCT FROM (l.on_hand, l.held) {{1}} ORDER BY 1, 2
"""
WHOLE = _BY_HAND.format("", "")
_PAIRS = "(SELECT lot_id, place_id FROM inventory_ledgerline WHERE posting_id > %(since)s)"
SINCE = _BY_HAND.format(
    f"WHERE (lot_id, place_id) IN {_PAIRS}", f"AND (lot_id, place_id) IN {_PAIRS}"
)


def proofs(raw: Raw, asks: int) -> list[Row]:
    """The whole ledger, and what the last postings touched. Raises `Differs` at any difference."""
    last = Posting.objects.order_by("-pk").values_list("pk", flat=True).first() or 0
    given = {"since": last - TOUCHED}
    whole = Question(
        "full reconciliation",
        Within(20),
        range(asks),
        ours=lambda _: differences(),
        raw=lambda _: raw(WHOLE),
        told=_in_order,
        note=f"{raw('SELECT count(*) FROM inventory_ledgerline')[0][0]:,} lines",
        warm=0,
        server=raw.server,
    )
    some = Question(
        f"balances of the last {TOUCHED:,} postings",
        Within(1),
        range(asks * 3),
        ours=lambda _: differences(since=given["since"]),
        raw=lambda _: raw(SINCE, given),
        told=_in_order,
        warm=1,
        server=raw.server,
    )
    damaged(given["since"])
    return [whole.row(), some.row()]


def _in_order(_: Any, ours: list[Any], raw: list[Any]) -> tuple[Any, Any]:
    return (ours, raw), ([], [])


def damaged(since: int, *, whole: bool = False) -> None:
    """A balance that is wrong is found by both ways. Raises `Differs`."""
    with transaction.atomic():
        last = Posting.objects.order_by("-pk")[0]
        line = last.lines.order_by("pk")[0]
        pair = line.lot_id, line.place_id
        Balance.objects.filter(lot=line.lot, place=line.place).update(on_hand=999_999)
        found = differences(since=None if whole else since)
        with connection.cursor() as cursor:
            cursor.execute(WHOLE if whole else SINCE, {"since": since})
            by_hand = cursor.fetchall()
        transaction.set_rollback(True)
    ours = [(one.lot_id, one.place_id) for one in found]
    if not ours == by_hand == [pair]:
        raise Differs(f"balance {pair} is wrong: ours found {ours}, by hand {by_hand}")
