"""What PostgreSQL is asked to bring along, and text without accents and capitals for searching."""

from django.contrib.postgres.operations import (
    BtreeGistExtension,
    CITextExtension,
    TrigramExtension,
    UnaccentExtension,
)
from django.db import migrations

# unaccent() is only STABLE, since its dictionary could be changed; ours is named and never is,
# so that the result may be indexed.
PLAIN = """
CREATE FUNCTION unaccented(text) RETURNS text
    LANGUAGE sql IMMUTABLE STRICT PARALLEL SAFE
    RETURN public.unaccent('public.unaccent'::regdictionary, $1);
CREATE FUNCTION plain(text) RETURNS text
    LANGUAGE sql IMMUTABLE STRICT PARALLEL SAFE
    RETURN lower(public.unaccent('public.unaccent'::regdictionary, $1));
"""


class Migration(migrations.Migration):
    initial = True
    dependencies = []
    operations = [
        BtreeGistExtension(),
        CITextExtension(),
        TrigramExtension(),
        UnaccentExtension(),
        migrations.RunSQL(PLAIN, "DROP FUNCTION plain(text); DROP FUNCTION unaccented(text);"),
    ]
