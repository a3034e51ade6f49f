"""What was said of approvals, and known of evidence, marks, results and classes, stays."""

from django.db import migrations

from inventory.ground.append_only import AppendOnly
from inventory.ground.kept_versions import KeptVersions

# The one change let through closes a version: its ``known`` gets an end after its beginning.
GUARD = """
CREATE FUNCTION approval_version_closes_once() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF to_jsonb(OLD) - 'known' = to_jsonb(NEW) - 'known'
        AND lower(OLD.known) = lower(NEW.known)
        AND upper_inf(OLD.known)
        AND NOT upper_inf(NEW.known)
        AND upper(NEW.known) > lower(NEW.known)
    THEN
        RETURN NEW;
    END IF;
    RAISE EXCEPTION USING MESSAGE =
        'What was said of an approval is never edited: record a correction.',
        ERRCODE = 'restrict_violation', CONSTRAINT = 'append_only', TABLE = TG_TABLE_NAME,
        SCHEMA = TG_TABLE_SCHEMA;
END
$$;
CREATE TRIGGER approval_version_closes_once BEFORE UPDATE ON fitments_approvalversion
    FOR EACH ROW EXECUTE FUNCTION approval_version_closes_once();
CREATE TRIGGER approval_version_stays BEFORE DELETE ON fitments_approvalversion
    FOR EACH ROW EXECUTE FUNCTION refuse_change(
        'What was said of an approval is never taken back: withdraw it, or record a correction.');
CREATE TRIGGER append_only_table BEFORE TRUNCATE ON fitments_approvalversion
    FOR EACH STATEMENT EXECUTE FUNCTION refuse_change(
        'What was said of approvals is never taken back.');
"""
UNGUARD = """
DROP TRIGGER append_only_table ON fitments_approvalversion;
DROP TRIGGER approval_version_stays ON fitments_approvalversion;
DROP TRIGGER approval_version_closes_once ON fitments_approvalversion;
DROP FUNCTION approval_version_closes_once();
"""
# What a version rests on is told together with it: the version notes itself for the length of
# its transaction, and evidence joins only versions that are so noted.
EVIDENCE = """
CREATE FUNCTION approval_version_is_new() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    PERFORM set_config('fitments.new_versions',
        coalesce(current_setting('fitments.new_versions', true), '') || ',' || NEW.id || ',', true);
    RETURN NULL;
END
$$;
CREATE TRIGGER approval_version_is_new AFTER INSERT ON fitments_approvalversion
    FOR EACH ROW EXECUTE FUNCTION approval_version_is_new();

CREATE FUNCTION approval_evidence_comes_with_version() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF TG_OP = 'INSERT' AND position(',' || NEW.approvalversion_id || ','
        IN coalesce(current_setting('fitments.new_versions', true), '')) > 0
    THEN
        RETURN NEW;
    END IF;
    RAISE EXCEPTION USING MESSAGE =
        'What an approval was said to rest on is never edited: record a correction.',
        ERRCODE = 'restrict_violation', CONSTRAINT = 'append_only', TABLE = TG_TABLE_NAME,
        SCHEMA = TG_TABLE_SCHEMA;
END
$$;
CREATE TRIGGER append_only_rows BEFORE INSERT OR UPDATE OR DELETE
    ON fitments_approvalversion_evidence
    FOR EACH ROW EXECUTE FUNCTION approval_evidence_comes_with_version();
CREATE TRIGGER append_only_table BEFORE TRUNCATE ON fitments_approvalversion_evidence
    FOR EACH STATEMENT EXECUTE FUNCTION refuse_change(
        'What approvals were said to rest on is never taken back.');
"""
UNEVIDENCE = """
DROP TRIGGER append_only_table ON fitments_approvalversion_evidence;
DROP TRIGGER append_only_rows ON fitments_approvalversion_evidence;
DROP FUNCTION approval_evidence_comes_with_version();
DROP TRIGGER approval_version_is_new ON fitments_approvalversion;
DROP FUNCTION approval_version_is_new();
"""
# Which cars a class admits is kept with every version of it, as the database sees them change.
# The row of the class is locked before its cars are read, so that of two who change them at once
# the second sees what the first has done.
FOLLOW = """
CREATE FUNCTION fitments_class_admits() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE touched bigint[] := ARRAY(SELECT DISTINCT competitionclass_id FROM changed);
BEGIN
    PERFORM 1 FROM fitments_competitionclass WHERE id = ANY(touched)
        ORDER BY id FOR NO KEY UPDATE;
    UPDATE fitments_competitionclass AS class SET admitted = ARRAY(
        SELECT variant_id FROM fitments_competitionclass_variants
        WHERE competitionclass_id = class.id ORDER BY variant_id)
        WHERE id = ANY(touched);
    RETURN NULL;
END
$$;
CREATE TRIGGER admits AFTER INSERT ON fitments_competitionclass_variants
    REFERENCING NEW TABLE AS changed FOR EACH STATEMENT
    EXECUTE FUNCTION fitments_class_admits();
CREATE TRIGGER admits_no_more AFTER DELETE ON fitments_competitionclass_variants
    REFERENCING OLD TABLE AS changed FOR EACH STATEMENT
    EXECUTE FUNCTION fitments_class_admits();
CREATE FUNCTION fitments_class_admits_or_not() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION USING MESSAGE = 'A car is admitted or it is not: take one off the class, '
        'and admit the other.', ERRCODE = 'restrict_violation', CONSTRAINT = 'append_only',
        TABLE = TG_TABLE_NAME, SCHEMA = TG_TABLE_SCHEMA;
END
$$;
CREATE TRIGGER admits_or_not BEFORE UPDATE ON fitments_competitionclass_variants
    FOR EACH ROW EXECUTE FUNCTION fitments_class_admits_or_not();
"""
FOLLOW_NO_MORE = """
DROP TRIGGER admits_or_not ON fitments_competitionclass_variants;
DROP FUNCTION fitments_class_admits_or_not();
DROP TRIGGER admits_no_more ON fitments_competitionclass_variants;
DROP TRIGGER admits ON fitments_competitionclass_variants;
DROP FUNCTION fitments_class_admits();
"""
KEPT = "What was known is never edited: the database keeps each version by itself."


class Migration(migrations.Migration):
    replaces = [
        ("fitments", "0002_versions_are_insert_only"),
        ("fitments", "0004_every_version_is_kept"),
    ]
    dependencies = [
        ("ground", "0001_ground"),
        ("fitments", "0001_tables"),
    ]
    operations = [
        AppendOnly(
            "Approval",
            sentence=(
                "What an approval is about never changes: withdraw it with the reason, and record "
                "another."
            ),
        ),
        migrations.RunSQL(GUARD, UNGUARD),
        migrations.RunSQL(EVIDENCE, UNEVIDENCE),
        KeptVersions(
            "Evidence", "EvidenceVersion", key="evidence", sentence=KEPT, first="recorded_at"
        ),
        KeptVersions(
            "IssuerMark", "IssuerMarkVersion", key="issuer_mark", sentence=KEPT, first="written_at"
        ),
        KeptVersions(
            "TestResult", "TestResultVersion", key="test_result", sentence=KEPT, first="written_at"
        ),
        KeptVersions(
            "CompetitionClass", "CompetitionClassVersion", key="competition_class", sentence=KEPT
        ),
        migrations.RunSQL(FOLLOW, FOLLOW_NO_MORE),
    ]
