"""What left, what came back and its pictures are written once; a hold keeps its reasons."""

from django.db import migrations

from inventory.ground.append_only import AppendOnly

END = ("state", "ended_at", "ended_by_id", "ended_why")


class Migration(migrations.Migration):
    dependencies = [("inventory", "0005_purchasing_and_receiving")]
    operations = [
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
    ]
