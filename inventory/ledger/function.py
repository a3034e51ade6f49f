"""The one function in the database that writes the ledger.

It is a function and not a statement because PostgreSQL then keeps its plans for the session: a
statement that does the same costs twice as much to plan and start as to do (measured). The lock
order of the house is this function's order, whoever calls it.
"""

from __future__ import annotations

FUNCTION = """
CREATE OR REPLACE FUNCTION ledger_post(
    kind text, at timestamptz, by_id integer, document text, corrects bigint, note text,
    lots bigint[], places bigint[], on_hands integer[], helds integer[], most integer,
    OUT posting_id bigint, OUT recorded timestamptz,
    OUT refused integer, OUT on_hand integer, OUT held integer
) LANGUAGE plpgsql AS $$
#variable_conflict use_column
DECLARE
    balances bigint[];
    made bigint[];
    balance bigint;
BEGIN
    -- The arrays come sorted by lot and place, and that is the order of every lock below.
    FOR i IN 1..cardinality(lots) LOOP
        IF NOT EXISTS (SELECT FROM inventory_balance b
                       WHERE b.lot_id = lots[i] AND b.place_id = places[i]) THEN
            WITH made_now AS (
                INSERT INTO inventory_balance (lot_id, place_id, on_hand, held)
                SELECT l.id, p.id, 0, 0
                FROM unnest(lots[i:], places[i:]) AS m (lot_id, place_id)
                JOIN inventory_lot l ON l.id = m.lot_id
                JOIN inventory_place p ON p.id = m.place_id
                ORDER BY l.id, p.id
                ON CONFLICT (lot_id, place_id) DO NOTHING
                RETURNING id
            ) SELECT array_agg(id) INTO made FROM made_now;
            EXIT;
        END IF;
    END LOOP;
    FOR i IN 1..cardinality(lots) LOOP
        SELECT b.id, b.on_hand, b.held INTO balance, ledger_post.on_hand, ledger_post.held
        FROM inventory_balance b
        WHERE b.lot_id = lots[i] AND b.place_id = places[i] FOR NO KEY UPDATE;
        IF balance IS NULL OR ledger_post.held + helds[i] < 0
            OR ledger_post.on_hand + on_hands[i] NOT BETWEEN ledger_post.held + helds[i] AND most
        THEN
            -- Nothing is left behind by a refusal, not even an empty balance.
            DELETE FROM inventory_balance WHERE id = ANY (made);
            refused := i;
            RETURN;
        END IF;
        balances[i] := balance;
    END LOOP;
    INSERT INTO inventory_posting (kind, at, recorded_by_id, document, corrects_id, note)
    VALUES (ledger_post.kind, ledger_post.at, by_id, ledger_post.document, corrects,
            ledger_post.note)
    RETURNING id, recorded_at INTO posting_id, recorded;
    FOR i IN 1..cardinality(lots) LOOP
        UPDATE inventory_balance b
        SET on_hand = b.on_hand + on_hands[i], held = b.held + helds[i] WHERE b.id = balances[i];
        INSERT INTO inventory_ledgerline
            (posting_id, lot_id, place_id, on_hand_change, held_change)
        VALUES (ledger_post.posting_id, lots[i], places[i], on_hands[i], helds[i]);
    END LOOP;
END
$$;
"""

DROP_FUNCTION = """
DROP FUNCTION ledger_post(text, timestamptz, integer, text, bigint, text,
    bigint[], bigint[], integer[], integer[], integer);
"""
