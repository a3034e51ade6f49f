"""Rules over more than one row or table, and rows that are written once: the database keeps them."""

from django.db import migrations

from inventory.ground.append_only import AppendOnly
from inventory.ledger.function import DROP, FUNCTION, MISSING

# The lots are the customer's whose storage it is.
STORED = """
CREATE FUNCTION storage_lots_are_owned() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF EXISTS (
        SELECT 1 FROM inventory_storedlot p
        JOIN inventory_storage s ON s.id = p.storage_id JOIN inventory_lot l ON l.id = p.lot_id
        WHERE (p.id = NEW.id OR TG_TABLE_NAME <> 'inventory_storedlot')
        AND (s.id = NEW.id OR TG_TABLE_NAME <> 'inventory_storage')
        AND l.owner_customer_id IS DISTINCT FROM s.customer_id
    ) THEN
        RAISE EXCEPTION 'A stored lot belongs to the customer it is kept for.'
            USING ERRCODE = 'check_violation', CONSTRAINT = 'stored_lot_is_the_customers';
    END IF;
    RETURN NULL;
END $$;
CREATE TRIGGER stored_lot_is_the_customers AFTER INSERT OR UPDATE ON inventory_storedlot
    FOR EACH ROW EXECUTE FUNCTION storage_lots_are_owned();
CREATE TRIGGER storage_is_its_lots_owners AFTER UPDATE OF customer_id ON inventory_storage
    FOR EACH ROW EXECUTE FUNCTION storage_lots_are_owned();
"""
NOT_STORED = """
DROP TRIGGER storage_is_its_lots_owners ON inventory_storage;
DROP TRIGGER stored_lot_is_the_customers ON inventory_storedlot;
DROP FUNCTION storage_lots_are_owned();
"""
# The lots are the consignor's, and what is not the house's is never held.
CONSIGNED = """
CREATE FUNCTION consigned_lots_are_owned() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF EXISTS (
        SELECT 1 FROM inventory_consignedlot p
        JOIN inventory_consignment c ON c.id = p.consignment_id
        JOIN inventory_lot l ON l.id = p.lot_id
        WHERE (p.id = NEW.id OR TG_TABLE_NAME <> 'inventory_consignedlot')
        AND (c.id = NEW.id OR TG_TABLE_NAME <> 'inventory_consignment')
        AND l.owner_supplier_id IS DISTINCT FROM c.supplier_id
    ) THEN
        RAISE EXCEPTION 'A lot of a consignment belongs to its supplier.'
            USING ERRCODE = 'check_violation', CONSTRAINT = 'consigned_lot_is_the_suppliers';
    END IF;
    RETURN NULL;
END $$;
CREATE TRIGGER consigned_lot_is_the_suppliers AFTER INSERT OR UPDATE ON inventory_consignedlot
    FOR EACH ROW EXECUTE FUNCTION consigned_lots_are_owned();
CREATE TRIGGER consignment_is_its_lots_owners AFTER UPDATE OF supplier_id ON inventory_consignment
    FOR EACH ROW EXECUTE FUNCTION consigned_lots_are_owned();

CREATE FUNCTION held_lots_are_the_houses() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF EXISTS (SELECT 1 FROM inventory_lot l WHERE l.id = NEW.lot_id AND l.owner <> 'house') THEN
        RAISE EXCEPTION 'Only tyres of the house are held: these are somebody else''s.'
            USING ERRCODE = 'check_violation', CONSTRAINT = 'held_lot_is_the_houses';
    END IF;
    RETURN NULL;
END $$;
CREATE TRIGGER held_lot_is_the_houses AFTER INSERT OR UPDATE OF lot_id ON inventory_holdline
    FOR EACH ROW EXECUTE FUNCTION held_lots_are_the_houses();
"""
NOT_CONSIGNED = """
DROP TRIGGER held_lot_is_the_houses ON inventory_holdline;
DROP FUNCTION held_lots_are_the_houses();
DROP TRIGGER consignment_is_its_lots_owners ON inventory_consignment;
DROP TRIGGER consigned_lot_is_the_suppliers ON inventory_consignedlot;
DROP FUNCTION consigned_lots_are_owned();
"""
# How far a transfer is follows from its lines, and a van is a mobile site.
TOLD = """
CREATE FUNCTION transfer_is_as_far_as_its_lines() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
    one inventory_transfer;
    came bigint;
    gone bigint;
    left_over bigint;
BEGIN
    IF TG_TABLE_NAME = 'inventory_transfer' THEN
        SELECT * INTO one FROM inventory_transfer WHERE id = NEW.id;
    ELSE
        SELECT * INTO one FROM inventory_transfer WHERE id = NEW.transfer_id;
    END IF;
    SELECT coalesce(sum(arrived), 0), coalesce(sum(missing), 0),
        coalesce(sum(quantity - arrived - missing), 0)
    INTO came, gone, left_over FROM inventory_transferline WHERE transfer_id = one.id;
    IF one.state = 'on_the_way' AND came + gone > 0
        OR one.state IN ('arrived', 'short') AND left_over > 0
        OR one.state = 'arrived' AND gone > 0
        OR one.state = 'short' AND gone = 0
    THEN
        RAISE EXCEPTION 'A transfer is as far as its lines say.'
            USING ERRCODE = 'check_violation', CONSTRAINT = 'transfer_is_as_far_as_its_lines';
    END IF;
    RETURN NULL;
END $$;
CREATE TRIGGER transfer_is_as_far_as_its_lines AFTER INSERT OR UPDATE ON inventory_transfer
    FOR EACH ROW EXECUTE FUNCTION transfer_is_as_far_as_its_lines();
CREATE TRIGGER transfer_line_is_as_far_as_its_transfer
    AFTER INSERT OR UPDATE ON inventory_transferline
    FOR EACH ROW EXECUTE FUNCTION transfer_is_as_far_as_its_lines();

CREATE FUNCTION outing_is_of_a_van() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF EXISTS (
        SELECT 1 FROM inventory_outing o JOIN inventory_site s ON s.id = o.van_id
        WHERE s.kind <> 'mobile' AND (
            TG_TABLE_NAME = 'inventory_outing' AND o.id = NEW.id
            OR TG_TABLE_NAME = 'inventory_site' AND s.id = NEW.id
        )
    ) THEN
        RAISE EXCEPTION 'Only a van, a mobile site, goes to a meeting.'
            USING ERRCODE = 'check_violation', CONSTRAINT = 'outing_is_of_a_van';
    END IF;
    RETURN NULL;
END $$;
CREATE TRIGGER outing_is_of_a_van AFTER INSERT OR UPDATE OF van_id ON inventory_outing
    FOR EACH ROW EXECUTE FUNCTION outing_is_of_a_van();
CREATE TRIGGER van_with_outings_stays_a_van AFTER UPDATE OF kind ON inventory_site
    FOR EACH ROW EXECUTE FUNCTION outing_is_of_a_van();

CREATE FUNCTION outing_is_loaded_at_home() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF EXISTS (
        SELECT 1 FROM inventory_transfer t JOIN inventory_outing o ON o.id = t.outing_id
        WHERE (t.from_site_id, t.to_site_id) NOT IN
            ((o.home_id, o.van_id), (o.van_id, o.home_id))
        AND (
            TG_TABLE_NAME = 'inventory_transfer' AND t.id = NEW.id
            OR TG_TABLE_NAME = 'inventory_outing' AND o.id = NEW.id
        )
    ) THEN
        RAISE EXCEPTION 'A van is loaded at home, and unloaded there.'
            USING ERRCODE = 'check_violation', CONSTRAINT = 'outing_is_loaded_at_home';
    END IF;
    RETURN NULL;
END $$;
CREATE TRIGGER transfer_of_an_outing_is_from_home
    AFTER INSERT OR UPDATE OF outing_id, from_site_id, to_site_id ON inventory_transfer
    FOR EACH ROW WHEN (NEW.outing_id IS NOT NULL) EXECUTE FUNCTION outing_is_loaded_at_home();
CREATE TRIGGER outing_is_loaded_at_home AFTER UPDATE OF van_id, home_id ON inventory_outing
    FOR EACH ROW EXECUTE FUNCTION outing_is_loaded_at_home();
"""
UNTOLD = """
DROP TRIGGER outing_is_loaded_at_home ON inventory_outing;
DROP TRIGGER transfer_of_an_outing_is_from_home ON inventory_transfer;
DROP FUNCTION outing_is_loaded_at_home();
DROP TRIGGER van_with_outings_stays_a_van ON inventory_site;
DROP TRIGGER outing_is_of_a_van ON inventory_outing;
DROP FUNCTION outing_is_of_a_van();
DROP TRIGGER transfer_line_is_as_far_as_its_transfer ON inventory_transferline;
DROP TRIGGER transfer_is_as_far_as_its_lines ON inventory_transfer;
DROP FUNCTION transfer_is_as_far_as_its_lines();
"""
END = ("state", "ended_at", "ended_by_id", "ended_why")


class Migration(migrations.Migration):
    replaces = [
        ("inventory", "0002_append_only"),
        ("inventory", "0003_ledger_post"),
        ("inventory", "0006_holds_and_despatches_stay"),
    ]
    dependencies = [
        ("ground", "0001_ground"),
        ("inventory", "0001_tables"),
    ]
    operations = [
        migrations.RunSQL(MISSING + FUNCTION, DROP),
        AppendOnly(
            "Posting",
            sentence="A posting is never changed or taken out: book a correction of it.",
        ),
        AppendOnly(
            "LedgerLine",
            sentence="A ledger line is never changed or taken out: book a correction of it.",
        ),
        AppendOnly(
            "Lot",
            sentence=(
                "A lot is never changed or taken out: where it was misread, book its tyres out of "
                "it and into the right one."
            ),
        ),
        AppendOnly(
            "Hold",
            sentence=(
                "A hold stays as it was made: extend it, give it to an order, or release it."
            ),
            may_change=("until", "order_line_id", *END),
        ),
        AppendOnly(
            "Quote",
            sentence="A quote stays as it was given: withdraw it and give another.",
            may_change=END,
        ),
        AppendOnly(
            "PreOrder",
            sentence="A pre-order keeps its place and its reasons: withdraw it and queue another.",
            may_change=("hold_id", *END),
        ),
        AppendOnly(
            "Despatch", sentence="What left has left: a despatch is never changed or taken out."
        ),
        AppendOnly(
            "DespatchLine", sentence="What left has left: a despatch is never changed or taken out."
        ),
        AppendOnly(
            "Return", sentence="What came back came back: a return is never changed or taken out."
        ),
        AppendOnly(
            "ReturnLine",
            sentence="What came back came back: a return is never changed or taken out.",
        ),
        AppendOnly(
            "ComplaintPicture", sentence="A picture of a complaint is evidence: it stays."
        ),
        AppendOnly(
            "AlertOverride",
            sentence="The buyer's own number is written once: enter another, with its reason.",
        ),
        AppendOnly(
            "SeasonChange",
            sentence="A change of a season is written once: take it back and enter another.",
            may_change=("withdrawn_at", "withdrawn_by_id", "withdrawn_why"),
        ),
        AppendOnly(
            "HoldExtension",
            sentence="An extension of a hold is written once: extend it again, or release it.",
        ),
        AppendOnly(
            "StorageExtension",
            sentence="An extension is written once: put the day off again, or hand the tyres back.",
        ),
        AppendOnly(
            "ConsignmentStep",
            sentence="What was bought in or given back stays as it was: correct its posting.",
        ),
        migrations.RunSQL(STORED, NOT_STORED),
        migrations.RunSQL(CONSIGNED, NOT_CONSIGNED),
        migrations.RunSQL(TOLD, UNTOLD),
    ]
