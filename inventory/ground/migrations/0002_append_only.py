"""The function behind every append-only table."""

from django.db import migrations

from inventory.ground.append_only import DROP_FUNCTION, FUNCTION


class Migration(migrations.Migration):
    dependencies = [("ground", "0001_extensions")]
    operations = [migrations.RunSQL(FUNCTION, DROP_FUNCTION)]
