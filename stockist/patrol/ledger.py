"""The ledger: balances from their lines, and lines that hang together."""

from __future__ import annotations

from inventory.ledger.reconcile import counted, differences
from inventory.models.lot import Lot
from inventory.models.place import Place
from stockist.health.readiness import unguarded, written_once
from stockist.patrol.check import Check, Faults, by_sql, count_of

_POINTING_AT_NOTHING = """
SELECT 'Ledger line ' || l.id || ' is of posting ' || l.posting_id
FROM inventory_ledgerline l LEFT JOIN inventory_posting p ON p.id = l.posting_id WHERE p.id IS NULL
UNION ALL SELECT 'Ledger line ' || l.id || ' is of lot ' || l.lot_id
FROM inventory_ledgerline l LEFT JOIN inventory_lot o ON o.id = l.lot_id WHERE o.id IS NULL
UNION ALL SELECT 'Ledger line ' || l.id || ' is of place ' || l.place_id
FROM inventory_ledgerline l LEFT JOIN inventory_place p ON p.id = l.place_id WHERE p.id IS NULL
UNION ALL SELECT 'A balance is of lot ' || b.lot_id
FROM inventory_balance b LEFT JOIN inventory_lot o ON o.id = b.lot_id WHERE o.id IS NULL
UNION ALL SELECT 'A balance is of place ' || b.place_id
FROM inventory_balance b LEFT JOIN inventory_place p ON p.id = b.place_id WHERE p.id IS NULL
"""


def _wrong_balances(since: int | None) -> Faults:
    found = differences(since=since)
    lots = Lot.objects.in_bulk({one.lot_id for one in found})
    places = Place.objects.in_bulk({one.place_id for one in found})
    for one in found:
        lot, place = lots.get(one.lot_id, one.lot_id), places.get(one.place_id, one.place_id)
        yield (
            f"Lot {lot} in {place}: the balance says {one.on_hand}, {one.held} of them held; "
            f"its lines say {one.lines_on_hand}, {one.lines_held} held."
        )


def _balances_and_lines(since: int | None) -> str:
    balances, lines = counted(since=since)
    return f"{balances:,} balances, {lines:,} ledger lines"


def _unguarded(since: int | None) -> Faults:
    for table in sorted(unguarded()):
        yield f"Rows of {table} could be changed: its triggers are missing or switched off."


BALANCES = Check(
    "balances",
    "Every balance is the sum of its ledger lines.",
    faults=_wrong_balances,
    over=_balances_and_lines,
    narrows=True,
)
CHECKS = (
    BALANCES,
    Check(
        "negative",
        "No balance is below nought, and none holds more than it has.",
        by_sql(
            "SELECT o.code, p.code, b.on_hand, b.held FROM inventory_balance b "
            "JOIN inventory_lot o ON o.id = b.lot_id JOIN inventory_place p ON p.id = b.place_id "
            "WHERE b.held < 0 OR b.held > b.on_hand ORDER BY o.code, p.code",
            "Lot {0} in {1}: {2} in the racks, {3} held.",
        ),
        count_of("inventory_balance", "balances"),
    ),
    Check(
        "pointing",
        "Every ledger line and every balance is of a posting, a lot and a place that are there.",
        by_sql(_POINTING_AT_NOTHING, "{0}, which is not there."),
        count_of("inventory_ledgerline", "ledger lines"),
    ),
    Check(
        "postings",
        "Every posting has a ledger line.",
        by_sql(
            "SELECT p.id, p.kind FROM inventory_posting p WHERE NOT EXISTS "
            "(SELECT FROM inventory_ledgerline l WHERE l.posting_id = p.id) ORDER BY p.id",
            "Posting {0} ({1}) has none.",
        ),
        count_of("inventory_posting", "postings"),
    ),
    Check(
        "moves",
        "A move takes from one place as many tyres of a lot as it brings to others.",
        by_sql(
            "SELECT l.posting_id, o.code, sum(l.on_hand_change) FROM inventory_ledgerline l "
            "JOIN inventory_posting p ON p.id = l.posting_id "
            "JOIN inventory_lot o ON o.id = l.lot_id WHERE p.kind = 'move' "
            "GROUP BY l.posting_id, o.code HAVING sum(l.on_hand_change) <> 0 ORDER BY 1, 2",
            "Posting {0} changes the number of tyres of lot {1} by {2}.",
        ),
        count_of("inventory_posting WHERE kind = 'move'", "moves"),
    ),
    Check(
        "lots",
        "Of every lot something was booked.",
        by_sql(
            "SELECT o.code FROM inventory_lot o WHERE NOT EXISTS "
            "(SELECT FROM inventory_ledgerline l WHERE l.lot_id = o.id) ORDER BY o.code",
            "Of lot {0} nothing ever was.",
        ),
        count_of("inventory_lot", "lots"),
    ),
    Check(
        "guards",
        "What is written once is guarded by the database.",
        _unguarded,
        lambda since: f"{len(written_once()):,} tables",
    ),
)
