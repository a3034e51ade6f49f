"""Postings, ledger lines and lots are written once."""

from django.db import migrations

from inventory.ground.append_only import AppendOnly


class Migration(migrations.Migration):
    dependencies = [("inventory", "0001_initial"), ("ground", "0002_append_only")]
    operations = [
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
    ]
