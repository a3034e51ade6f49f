"""The function that writes postings, ledger lines and balances."""

from django.db import migrations

from inventory.ledger.function import DROP_FUNCTION, FUNCTION


class Migration(migrations.Migration):
    dependencies = [("inventory", "0002_append_only")]
    operations = [migrations.RunSQL(FUNCTION, DROP_FUNCTION)]
