"""What was said of an approval stays said: versions are added, and closed once, never edited."""

from django.db import migrations

from inventory.ground.append_only import AppendOnly

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


class Migration(migrations.Migration):
    dependencies = [
        ("fitments", "0001_initial"),
        ("ground", "0002_append_only"),
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
    ]
