"""The functions that write postings, ledger lines and balances."""

from django.db import migrations

from inventory.ledger.function import DROP, FUNCTION, MISSING


class Migration(migrations.Migration):
    dependencies = [("inventory", "0002_append_only")]
    operations = [migrations.RunSQL(MISSING + FUNCTION, DROP)]
