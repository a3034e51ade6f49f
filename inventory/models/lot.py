"""Tyres that are the same in every way that can be read off them, and came together."""

from __future__ import annotations

from datetime import date

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from inventory.ground.fields import Line, Words
from inventory.models.customer import Customer
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier


class Owner(models.TextChoices):
    HOUSE = "house", "the house"
    CUSTOMER = "customer", "a customer, in storage"
    SUPPLIER = "supplier", "a supplier, on consignment"


class Condition(models.TextChoices):
    NEW = "new", "new"
    FITTED = "fitted", "been fitted"
    TAKE_OFF = "take_off", "take-off"
    PART_WORN = "part_worn", "part-worn"
    BUFFED = "buffed", "buffed"
    HAND_CUT = "hand_cut", "hand-cut"
    DISPLAY = "display", "display only"


class LotQuerySet(models.QuerySet["Lot"]):
    def promised(self) -> LotQuerySet:
        """What may be promised unasked: the house's own, new, and not blocked."""
        return self.filter(owner=Owner.HOUSE, condition=Condition.NEW).unblocked()

    def unblocked(self) -> LotQuerySet:
        return self.exclude(pk__in=Block.objects.filter(lifted_at__isnull=True).values("lot_id"))

    def made_before(self, day: date) -> LotQuerySet:
        """Lots that were made before a day even if as late as can be; undated ones are left out."""
        return self.filter(latest__lt=day)


class Lot(models.Model):
    """One lot. It never changes: a misread sidewall is a correcting posting into the right lot.

    ``week_index`` is ``markings.week_index`` of the date code; null where there is no code or its
    decade is unknown. ``earliest`` and ``latest`` carry the doubt. ``delivery`` names the delivery
    it came by: tyres without a date code match within one delivery only.
    """

    sku = models.ForeignKey(Sku, on_delete=models.RESTRICT, related_name="lots")
    code = Line("lot", max_length=20, unique=True)
    date_code = Line("date code as read", max_length=20, blank=True, default="")
    week_index = models.IntegerField(null=True, blank=True)
    first_day = models.DateField(null=True, blank=True)
    last_day = models.DateField(null=True, blank=True)
    earliest = models.DateField("made on this day at the earliest", null=True, blank=True)
    latest = models.DateField("made on this day at the latest", null=True, blank=True)
    plant = Line("plant symbols", max_length=3, blank=True, default="")
    mark = Line("approval mark seen", max_length=20, blank=True, default="")
    mark_issue = Line("mark issue seen", max_length=20, blank=True, default="")
    pattern_issue = Line("pattern issue", max_length=20, blank=True, default="")
    country = Line("made in", max_length=60, blank=True, default="")
    delivery = Line("delivery", max_length=40, blank=True, default="")
    received_on = models.DateField("received on")
    unit_cost = models.DecimalField(
        "unit cost", max_digits=9, decimal_places=2, null=True, blank=True
    )
    currency = Line("currency", max_length=3, default="GBP")
    owner = models.CharField("owner", max_length=8, choices=Owner, default=Owner.HOUSE)
    owner_customer = models.ForeignKey(
        Customer, on_delete=models.RESTRICT, null=True, blank=True, related_name="stored_lots"
    )
    owner_supplier = models.ForeignKey(
        Supplier, on_delete=models.RESTRICT, null=True, blank=True, related_name="consigned_lots"
    )
    condition = models.CharField(
        "condition", max_length=9, choices=Condition, default=Condition.NEW
    )
    buffed_to_mm = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    made_from = models.ForeignKey(
        "self", on_delete=models.RESTRICT, null=True, blank=True, related_name="made_into"
    )
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )

    objects = LotQuerySet.as_manager()

    class Meta:
        verbose_name = "lot"
        verbose_name_plural = "lots"
        ordering = ("sku__code", "week_index", "pk")
        indexes = [
            # availability: every lot of some SKUs, oldest first
            models.Index(fields=["sku", "week_index"], name="lot_sku_week"),
            # ageing: what was made before a day
            models.Index(fields=["latest"], name="lot_latest"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(owner="house", owner_customer__isnull=True, owner_supplier__isnull=True)
                | Q(owner="customer", owner_customer__isnull=False, owner_supplier__isnull=True)
                | Q(owner="supplier", owner_customer__isnull=True, owner_supplier__isnull=False),
                name="lot_owner_is_named",
                violation_error_message=(
                    "Name the customer whose tyres these are, or the supplier; the house's own "
                    "have neither."
                ),
            ),
            models.CheckConstraint(
                condition=Q(first_day__isnull=True, last_day__isnull=True, week_index__isnull=True)
                | Q(
                    first_day__isnull=False,
                    week_index__isnull=False,
                    last_day__gte=F("first_day"),
                ),
                name="lot_week_has_both_its_days",
                violation_error_message="A date code gives both days of its week, or neither.",
            ),
            models.CheckConstraint(
                condition=Q(earliest__isnull=True, latest__isnull=True)
                | Q(earliest__lte=F("latest")),
                name="lot_doubt_runs_forwards",
                violation_error_message="The earliest day cannot come after the latest.",
            ),
            models.CheckConstraint(
                condition=Q(condition="buffed", buffed_to_mm__isnull=False)
                | (~Q(condition="buffed") & Q(buffed_to_mm__isnull=True)),
                name="lot_buffed_says_how_far",
                violation_error_message="A buffed tyre says how many mm are left, no other does.",
            ),
            models.CheckConstraint(
                condition=Q(mark_issue="") | ~Q(mark=""),
                name="lot_mark_issue_has_a_mark",
                violation_error_message="A mark issue needs the mark that it is an issue of.",
            ),
        ]

    def __str__(self) -> str:
        return self.code


class BlockReason(models.TextChoices):
    DAMAGED = "damaged", "damaged"
    WRONG_MARK = "wrong_mark", "wrong mark or issue"
    RECALL = "recall", "recalled"
    TOO_OLD = "too_old", "too old"
    TO_BE_CHECKED = "to_be_checked", "to be checked"
    OFF_SALE = "off_sale", "taken off sale"


class Block(models.Model):
    """A lot that may not be sold, and why. Where it lies is another thing."""

    lot = models.ForeignKey(Lot, on_delete=models.RESTRICT, related_name="blocks")
    reason = models.CharField("reason", max_length=14, choices=BlockReason)
    note = Words("note", blank=True, default="")
    placed_at = models.DateTimeField()
    placed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )
    lifted_at = models.DateTimeField(null=True, blank=True)
    lifted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.RESTRICT,
        null=True,
        blank=True,
        related_name="+",
    )
    lifted_why = Words("why lifted", blank=True, default="")

    class Meta:
        verbose_name = "block"
        verbose_name_plural = "blocks"
        ordering = ("-placed_at", "-pk")
        constraints = [
            models.UniqueConstraint(
                fields=["lot", "reason"],
                condition=Q(lifted_at__isnull=True),
                name="block_stands_once_per_reason",
                violation_error_message="This lot is blocked for this reason already.",
            ),
            models.CheckConstraint(
                condition=Q(lifted_at__isnull=True, lifted_by__isnull=True, lifted_why="")
                | (Q(lifted_at__gte=F("placed_at"), lifted_by__isnull=False) & ~Q(lifted_why="")),
                name="block_lift_has_who_when_and_why",
                violation_error_message="Say who lifted the block, when and why.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.lot}: {self.get_reason_display()}"
