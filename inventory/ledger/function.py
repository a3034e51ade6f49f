"""The functions in the database that write the ledger.

Functions and not one statement, because PostgreSQL then keeps the plans for the session: one
statement that does the same costs twice as much to plan and start as to do (measured). The lock
order of the house is theirs, whoever calls.
"""

from __future__ import annotations

MISSING = """
CREATE OR REPLACE FUNCTION ledger_make_balances(lots bigint[], places bigint[]) RETURNS bigint[]
LANGUAGE sql AS $$
    WITH made AS (
        INSERT INTO inventory_balance (lot_id, place_id, on_hand, held)
        SELECT l.id, p.id, 0, 0
        FROM unnest(lots, places) AS m (lot_id, place_id)
        JOIN inventory_lot l ON l.id = m.lot_id
        JOIN inventory_place p ON p.id = m.place_id
        WHERE NOT EXISTS (SELECT FROM inventory_balance b
                          WHERE b.lot_id = m.lot_id AND b.place_id = m.place_id)
        ORDER BY l.id, p.id
        ON CONFLICT (lot_id, place_id) DO NOTHING
        RETURNING id
    ) SELECT coalesce(array_agg(id), '{}') FROM made
$$;
"""

FUNCTION = """
CREATE OR REPLACE FUNCTION ledger_post(
    kind text, at timestamptz, by_id integer, document text, corrects bigint, note text,
    lots bigint[], places bigint[], on_hands integer[], helds integer[], most integer,
    OUT posting_id bigint, OUT recorded timestamptz,
    OUT refused integer, OUT on_hand integer, OUT held integer
) LANGUAGE plpgsql AS $$
#variable_conflict use_column
DECLARE
    made bigint[];
    balance record;
BEGIN
    -- The arrays come sorted by lot and place, and that is the order of every lock below. Missing
    -- balances come first; the first pair needs no look, since nothing is locked before it.
    FOR i IN 2..cardinality(lots) LOOP
        IF NOT EXISTS (SELECT FROM inventory_balance b
                       WHERE b.lot_id = lots[i] AND b.place_id = places[i]) THEN
            made := ledger_make_balances(lots, places);
            EXIT;
        END IF;
    END LOOP;
    FOR i IN 1..cardinality(lots) LOOP
        LOOP
            -- An update waits for whoever holds the row, and then judges what they left.
            UPDATE inventory_balance b
            SET on_hand = b.on_hand + on_hands[i], held = b.held + helds[i]
            WHERE b.lot_id = lots[i] AND b.place_id = places[i] AND b.held + helds[i] >= 0
                AND b.on_hand + on_hands[i] BETWEEN b.held + helds[i] AND most;
            EXIT WHEN FOUND;
            SELECT b.on_hand, b.held INTO balance FROM inventory_balance b
            WHERE b.lot_id = lots[i] AND b.place_id = places[i] FOR NO KEY UPDATE;
            IF NOT FOUND AND i = 1 AND made IS NULL THEN
                made := ledger_make_balances(lots, places);
                CONTINUE;
            ELSIF balance.held + helds[i] >= 0
                AND balance.on_hand + on_hands[i] BETWEEN balance.held + helds[i] AND most
            THEN
                CONTINUE;  -- somebody had just brought what was missing
            END IF;
            -- Refused: what was done so far is undone, and no empty balance is left behind.
            FOR j IN 1..i - 1 LOOP
                UPDATE inventory_balance b
                SET on_hand = b.on_hand - on_hands[j], held = b.held - helds[j]
                WHERE b.lot_id = lots[j] AND b.place_id = places[j];
            END LOOP;
            DELETE FROM inventory_balance WHERE id = ANY (made);
            refused := i;
            on_hand := balance.on_hand;
            held := balance.held;
            RETURN;
        END LOOP;
    END LOOP;
    WITH said AS (
        INSERT INTO inventory_posting (kind, at, recorded_by_id, document, corrects_id, note)
        VALUES (ledger_post.kind, ledger_post.at, by_id, ledger_post.document, corrects,
                ledger_post.note)
        RETURNING id, recorded_at
    ), lines AS (
        INSERT INTO inventory_ledgerline
            (posting_id, lot_id, place_id, on_hand_change, held_change)
        SELECT said.id, m.* FROM said, unnest(lots, places, on_hands, helds) AS m
    ) SELECT id, recorded_at INTO posting_id, recorded FROM said;
END
$$;
"""

DROP = """
DROP FUNCTION ledger_make_balances(bigint[], bigint[]);
DROP FUNCTION ledger_post(text, timestamptz, integer, text, bigint, text,
    bigint[], bigint[], integer[], integer[], integer);
"""
