"""Goods on consignment; what one person counts or writes off alone stands with the count."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import inventory.ground.fields
from inventory.ground.append_only import AppendOnly

# Rules over two tables: the lots are the consignor's, and what is not the house's is never held.
OWNED = """
CREATE FUNCTION consigned_lots_are_owned() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF EXISTS (
        SELECT 1 FROM inventory_consignedlot p
        JOIN inventory_consignment c ON c.id = p.consignment_id
        JOIN inventory_lot l ON l.id = p.lot_id
        WHERE (p.id = NEW.id OR TG_TABLE_NAME <> 'inventory_consignedlot')
        AND (c.id = NEW.id OR TG_TABLE_NAME <> 'inventory_consignment')
        AND l.owner_supplier_id IS DISTINCT FROM c.supplier_id
    ) THEN
        RAISE EXCEPTION 'A lot of a consignment belongs to its supplier.'
            USING ERRCODE = 'check_violation', CONSTRAINT = 'consigned_lot_is_the_suppliers';
    END IF;
    RETURN NULL;
END $$;
CREATE TRIGGER consigned_lot_is_the_suppliers AFTER INSERT OR UPDATE ON inventory_consignedlot
    FOR EACH ROW EXECUTE FUNCTION consigned_lots_are_owned();
CREATE TRIGGER consignment_is_its_lots_owners AFTER UPDATE OF supplier_id ON inventory_consignment
    FOR EACH ROW EXECUTE FUNCTION consigned_lots_are_owned();

CREATE FUNCTION held_lots_are_the_houses() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF EXISTS (SELECT 1 FROM inventory_lot l WHERE l.id = NEW.lot_id AND l.owner <> 'house') THEN
        RAISE EXCEPTION 'Only tyres of the house are held: these are somebody else''s.'
            USING ERRCODE = 'check_violation', CONSTRAINT = 'held_lot_is_the_houses';
    END IF;
    RETURN NULL;
END $$;
CREATE TRIGGER held_lot_is_the_houses AFTER INSERT OR UPDATE OF lot_id ON inventory_holdline
    FOR EACH ROW EXECUTE FUNCTION held_lots_are_the_houses();
"""
DROP = """
DROP TRIGGER held_lot_is_the_houses ON inventory_holdline;
DROP FUNCTION held_lots_are_the_houses();
DROP TRIGGER consignment_is_its_lots_owners ON inventory_consignment;
DROP TRIGGER consigned_lot_is_the_suppliers ON inventory_consignedlot;
DROP FUNCTION consigned_lots_are_owned();
"""
# Until now it was four, whatever the day.
JUDGED = """
UPDATE inventory_count SET alone_up_to = 4 WHERE state IN ('to_post', 'posted');
"""
KINDS = [
    ("opening", "opening stock"), ("move", "move"), ("correction", "correction"), ("hold", "hold"),
    ("release", "release of a hold"), ("pick", "pick"), ("despatch", "despatch"),
    ("return", "return"), ("receipt", "receipt"), ("missing", "not found when picking"),
    ("send_back", "sent back to the supplier"), ("count", "count"), ("write_off", "write-off"),
    ("work", "work on tyres"), ("take_in", "taken in to be kept"),
    ("hand_back", "handed back to the customer"), ("consign", "taken on consignment"),
    ("buy_in", "bought in from consignment"), ("give_back", "given back to the consignor"),
]  # fmt: skip


def by_whom() -> models.ForeignKey:
    return models.ForeignKey(
        on_delete=django.db.models.deletion.RESTRICT, related_name="+", to=settings.AUTH_USER_MODEL
    )


def to(model: str, name: str, **more: bool) -> models.ForeignKey:
    return models.ForeignKey(
        on_delete=django.db.models.deletion.RESTRICT, related_name=name, to=f"inventory.{model}",
        **more,
    )  # fmt: skip


def key() -> models.BigAutoField:
    return models.BigAutoField(
        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
    )


class Migration(migrations.Migration):
    dependencies = [
        ("inventory", "0014_storage_extensions"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AlterField(
            model_name="posting",
            name="kind",
            field=models.CharField(choices=KINDS, max_length=12, verbose_name="kind"),
        ),
        migrations.CreateModel(
            name="Consignment",
            fields=[
                ("id", key()),
                ("reference", inventory.ground.fields.Line(blank=True, default="", max_length=60, verbose_name="their paper")),
                ("due_on", models.DateField(verbose_name="to be bought or given back by")),
                ("currency", inventory.ground.fields.Line(default="GBP", max_length=3, verbose_name="currency")),
                ("note", inventory.ground.fields.Words(blank=True, default="", max_length=500, verbose_name="note")),
                ("taken_at", models.DateTimeField(verbose_name="taken at")),
                ("supplier", to("supplier", "consignments")),
                ("taken_by", by_whom()),
            ],
            options={
                "verbose_name": "consignment",
                "verbose_name_plural": "consignments",
                "ordering": ("due_on", "pk"),
                "indexes": [models.Index(fields=["due_on"], name="consignment_due_on")],
                "constraints": [models.CheckConstraint(condition=models.Q(("currency__regex", "^[A-Z]{3}$")), name="consignment_currency_is_a_code", violation_error_message="A currency is three capital letters, such as GBP.")],
            },
        ),
        migrations.CreateModel(
            name="ConsignedLot",
            fields=[
                ("id", key()),
                ("quantity", models.PositiveIntegerField(verbose_name="tyres")),
                ("price", models.DecimalField(decimal_places=2, max_digits=9, verbose_name="agreed price of one")),
                ("consignment", to("consignment", "lots")),
                ("lot", models.OneToOneField(on_delete=django.db.models.deletion.RESTRICT, related_name="consigned", to="inventory.lot")),
            ],
            options={
                "verbose_name": "consigned lot",
                "verbose_name_plural": "consigned lots",
                "ordering": ("pk",),
                "constraints": [
                    models.CheckConstraint(condition=models.Q(("quantity__gte", 1)), name="consigned_lot_is_of_some", violation_error_message="One tyre or more is taken on consignment."),
                    models.CheckConstraint(condition=models.Q(("price__gt", 0)), name="consigned_lot_price_is_above_nought", violation_error_message="The price agreed for one tyre is above nought."),
                ],
            },
        ),
        migrations.CreateModel(
            name="ConsignmentStep",
            fields=[
                ("id", key()),
                ("kind", models.CharField(choices=[("bought", "bought in"), ("given_back", "given back")], max_length=10, verbose_name="what was done")),
                ("quantity", models.PositiveIntegerField(verbose_name="tyres")),
                ("unit_cost", models.DecimalField(blank=True, decimal_places=2, max_digits=9, null=True, verbose_name="unit cost")),
                ("done_at", models.DateTimeField()),
                ("consignment", to("consignment", "steps")),
                ("done_by", by_whom()),
                ("into", to("lot", "bought_from", blank=True, null=True)),
                ("lot", to("lot", "+")),
                ("place", to("place", "+")),
                ("posting", to("posting", "consignment_steps")),
            ],
            options={
                "verbose_name": "step of a consignment",
                "verbose_name_plural": "steps of consignments",
                "ordering": ("-pk",),
                "constraints": [
                    models.CheckConstraint(condition=models.Q(("quantity__gte", 1)), name="consignment_step_is_of_some", violation_error_message="One tyre or more is bought in or given back."),
                    models.CheckConstraint(condition=models.Q(models.Q(("into__isnull", False), ("kind", "bought"), ("unit_cost__gt", 0)), models.Q(("into__isnull", True), ("kind", "given_back"), ("unit_cost__isnull", True)), _connector="OR"), name="consignment_step_bought_has_a_lot_and_a_cost", violation_error_message="What is bought in goes into a lot of the house at a cost above nought; what is given back has neither."),
                ],
            },
        ),
        AppendOnly(
            "ConsignmentStep",
            sentence="What was bought in or given back stays as it was: correct its posting.",
        ),
        migrations.RunSQL(OWNED, DROP),
        migrations.AddField(
            model_name="count",
            name="alone_up_to",
            field=models.PositiveIntegerField(blank=True, null=True, verbose_name="one person posts up to"),
        ),
        migrations.RunSQL(JUDGED, migrations.RunSQL.noop),
        migrations.AddConstraint(
            model_name="count",
            constraint=models.CheckConstraint(condition=models.Q(models.Q(("state__in", ["to_post", "posted"]), _negated=True), ("alone_up_to__isnull", False), _connector="OR"), name="count_is_judged_by_the_limit_of_its_day", violation_error_message="A count that was handed in says how many tyres one person posts."),
        ),
        migrations.AddField(
            model_name="writeoff",
            name="alone_up_to",
            field=models.PositiveIntegerField(default=4, verbose_name="one person writes off up to"),
            preserve_default=False,
        ),
        migrations.AddConstraint(
            model_name="writeoff",
            constraint=models.CheckConstraint(condition=models.Q(models.Q(("state", "posted"), _negated=True), ("quantity__lte", models.F("alone_up_to")), ("self_checked", True), models.Q(("decided_by", models.F("asked_by")), _negated=True), _connector="OR"), name="write_off_of_many_has_two_people", violation_error_message="Another person posts a write-off of so many, or it says that it is self-checked."),
        ),
    ]
