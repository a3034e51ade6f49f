"""Evidence, marks, results and classes: every version of what is known of each is kept."""

from django.db import migrations

from inventory.ground.kept_versions import KeptVersions

# Rows from before: what is known of them now was known since they were recorded; of classes
# nobody kept when, so it was known since before anybody asked.
FILL = """
UPDATE fitments_evidence SET written_at = recorded_at, written_by_id = recorded_by_id
    WHERE written_at IS NULL;
INSERT INTO fitments_evidenceversion (evidence_id, known, kind, reference, issuer, dated, says,
        model_ranges, sizes, marks, axles, says_from, says_to, digest, file_name, media_type,
        copy_digest, checked_at, checked_by_id, due_on, why, written_at, written_by_id)
    SELECT id, tstzrange(recorded_at, NULL), kind, reference, issuer, dated, says,
        model_ranges, sizes, marks, axles, says_from, says_to, digest, file_name, media_type,
        copy_digest, checked_at, checked_by_id, due_on, why, written_at, written_by_id
    FROM fitments_evidence;
INSERT INTO fitments_competitionclassversion (competition_class_id, known, name,
        age_limit_months, buffing_allowed)
    SELECT id, tstzrange('1900-01-01 00:00+00', NULL), name, age_limit_months, buffing_allowed
    FROM fitments_competitionclass;
SET CONSTRAINTS ALL IMMEDIATE;
"""
KEPT = "What was known is never edited: the database keeps each version by itself."


class Migration(migrations.Migration):
    dependencies = [
        ("fitments", "0003_what_was_known"),
        ("ground", "0002_append_only"),
    ]
    operations = [
        migrations.RunSQL(FILL, migrations.RunSQL.noop),
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
    ]
