"""Which cars a class admits is kept with every version of it, as the database sees them change."""

from django.contrib.postgres.fields import ArrayField
from django.db import migrations, models

from inventory.ground.kept_versions import KeptVersions

# Nobody kept until now since when a car is admitted: it is told with every version there is.
FILL = """
ALTER TABLE fitments_competitionclassversion DISABLE TRIGGER USER;
UPDATE fitments_competitionclass AS class SET admitted = ARRAY(
    SELECT variant_id FROM fitments_competitionclass_variants
    WHERE competitionclass_id = class.id ORDER BY variant_id);
UPDATE fitments_competitionclassversion AS kept SET admitted = class.admitted
    FROM fitments_competitionclass AS class WHERE class.id = kept.competition_class_id;
SET CONSTRAINTS ALL IMMEDIATE;
ALTER TABLE fitments_competitionclassversion ENABLE TRIGGER USER;
"""
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
KEPT = "What was known is never edited: the database keeps each version by itself."


def _admitted():
    return ArrayField(
        models.BigIntegerField(), blank=True, default=list, editable=False, verbose_name="cars then"
    )


class Migration(migrations.Migration):
    dependencies = [("fitments", "0004_every_version_is_kept")]
    operations = [
        migrations.AddField("competitionclass", "admitted", _admitted()),
        migrations.AddField("competitionclassversion", "admitted", _admitted()),
        migrations.RunSQL(FILL),
        KeptVersions(
            "CompetitionClass", "CompetitionClassVersion", key="competition_class", sentence=KEPT
        ),
        migrations.RunSQL(FOLLOW),
    ]
