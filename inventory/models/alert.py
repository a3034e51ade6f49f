"""Alerts to the buyer: what will run out, and what grows old."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from inventory.ground.fields import Line
from inventory.models.lot import Lot
from inventory.models.season import Category
from inventory.models.sku import Sku
from inventory.models.standing import Standing
from inventory.models.supplier import Supplier
from inventory.models.supplier_terms import ProductionBatch
from inventory.planning.line import Cause

CAUSES = [(cause.name.lower(), cause.value) for cause in Cause]


class Alert(Standing):
    """One SKU whose stock may not last. ``told`` is the whole line as planning made it."""

    sku = models.ForeignKey(Sku, on_delete=models.RESTRICT, related_name="alerts")
    category = models.CharField("sells by the season of", max_length=12, choices=Category)
    cause = models.CharField("cause", max_length=14, choices=CAUSES)
    supplier = models.ForeignKey(
        Supplier, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    batch = models.ForeignKey(
        ProductionBatch, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    first_risk = models.DateField("may run out from")
    order_by = models.DateField("order by", null=True, blank=True)
    free = models.IntegerField("free")
    need = models.PositiveIntegerField("needed")
    pieces = models.PositiveIntegerField("to order")
    cost = models.DecimalField("costs", max_digits=12, decimal_places=2, null=True, blank=True)
    currency = Line("currency", max_length=3, blank=True, default="")

    class Meta(Standing.Meta):
        abstract = False
        verbose_name = "reorder alert"
        verbose_name_plural = "reorder alerts"
        ordering = ("order_by", "first_risk", "pk")
        indexes = [
            # the buyer's list: what is to be ordered first?
            models.Index(
                fields=["order_by", "id"],
                name="alert_to_order",
                condition=Q(ended_at__isnull=True),
            ),
        ]
        constraints = [
            *Standing.Meta.constraints,
            models.UniqueConstraint(
                fields=["sku"],
                condition=Q(ended_at__isnull=True),
                name="alert_stands_once_per_sku",
                violation_error_message="An alert of this SKU stands already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.sku_id}: order {self.pieces}"


class AlertOverride(models.Model):
    """What the buyer orders instead of the tool's number, and why. Written once; the last counts.

    ``pieces`` empty: the tool's own number again.
    """

    alert = models.ForeignKey(Alert, on_delete=models.RESTRICT, related_name="overrides")
    pieces = models.PositiveIntegerField("pieces", null=True, blank=True)
    tool_pieces = models.PositiveIntegerField("the tool's number then")
    why = Line("why", max_length=240)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )

    class Meta:
        verbose_name = "buyer's own number"
        verbose_name_plural = "buyers' own numbers"
        ordering = ("-pk",)
        constraints = [
            models.CheckConstraint(
                condition=~Q(why=""),
                name="alert_override_says_why",
                violation_error_message="Say why another number is ordered.",
            ),
            models.CheckConstraint(
                condition=Q(pieces__isnull=True) | Q(pieces__lte=100_000),
                name="alert_override_is_of_a_shop",
                violation_error_message="An order is of 100,000 pieces at the most.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.pieces} in place of {self.tool_pieces}"


class Suggestion(models.TextChoices):
    """What may be done about tyres that grow old; a person decides, nothing is done by itself."""

    OFFER = "offer", "put on offer"
    MOVE = "move", "move to the busier site"
    SUPPLIER = "supplier", "offer back to the supplier"
    OFF_SALE = "off_sale", "take off sale"


class AgeingAlert(Standing):
    """A lot that will cross the house's age limit before it is likely to be sold, or has."""

    lot = models.ForeignKey(Lot, on_delete=models.RESTRICT, related_name="ageing_alerts")
    crosses_on = models.DateField("crosses the limit on")
    pieces = models.PositiveIntegerField("pieces now")
    expected_left = models.DecimalField("expected to be left then", max_digits=9, decimal_places=1)
    money = models.DecimalField(
        "money at stake", max_digits=12, decimal_places=2, null=True, blank=True
    )
    currency = Line("currency", max_length=3, blank=True, default="")
    suggestion = models.CharField("suggestion", max_length=8, choices=Suggestion)

    class Meta(Standing.Meta):
        abstract = False
        verbose_name = "ageing alert"
        verbose_name_plural = "ageing alerts"
        ordering = ("crosses_on", "pk")
        indexes = [
            models.Index(
                fields=["crosses_on", "id"],
                name="ageing_alert_by_day",
                condition=Q(ended_at__isnull=True),
            ),
        ]
        constraints = [
            *Standing.Meta.constraints,
            models.UniqueConstraint(
                fields=["lot"],
                condition=Q(ended_at__isnull=True),
                name="ageing_alert_stands_once_per_lot",
                violation_error_message="An ageing alert of this lot stands already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.lot_id}: {self.crosses_on:%d.%m.%Y}"
