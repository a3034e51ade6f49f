"""What the house has ordered from a supplier, and how far it has come."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from inventory.ground.fields import Line, Words
from inventory.models.expected import ExpectedDelivery
from inventory.models.place import Site
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier
from inventory.models.supplier_terms import ProductionBatch


class PurchaseState(models.TextChoices):
    DRAFT = "draft", "draft"
    SENT = "sent", "sent"
    PART_RECEIVED = "part_received", "part received"
    CLOSED = "closed", "closed"
    CANCELLED = "cancelled", "cancelled"


OPEN = (PurchaseState.SENT.value, PurchaseState.PART_RECEIVED.value)
"""States in which goods are waited for."""


class PurchaseQuerySet(models.QuerySet["PurchaseOrder"]):
    def open(self) -> PurchaseQuerySet:
        """Sent, and not all of it has come."""
        return self.filter(state__in=OPEN)

    def with_names(self) -> PurchaseQuerySet:
        return self.select_related(
            "supplier", "batch", "deliver_to", "made_by", "sent_by", "ended_by"
        )


class PurchaseOrder(models.Model):
    """One order to a supplier. ``version`` counts every change of it: two do not collide unseen."""

    supplier = models.ForeignKey(Supplier, on_delete=models.RESTRICT, related_name="orders")
    batch = models.ForeignKey(
        ProductionBatch, on_delete=models.RESTRICT, null=True, blank=True, related_name="orders"
    )
    deliver_to = models.ForeignKey(Site, on_delete=models.RESTRICT, related_name="+")
    their_reference = Line("supplier's reference", max_length=60, blank=True, default="")
    currency = Line("currency", max_length=3, default="GBP")
    note = Words("note", max_length=500, blank=True, default="")
    state = models.CharField(
        "state", max_length=13, choices=PurchaseState, default=PurchaseState.DRAFT
    )
    version = models.PositiveIntegerField("version", default=1)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )
    sent_at = models.DateTimeField(null=True, blank=True)
    sent_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    ended_why = Line("why it ended", max_length=240, blank=True, default="")

    objects = PurchaseQuerySet.as_manager()

    class Meta:
        verbose_name = "purchase order"
        verbose_name_plural = "purchase orders"
        ordering = ("-pk",)
        indexes = [
            models.Index(fields=["supplier", "-id"], name="purchase_of_supplier"),
            # goods in: what is waited for?
            models.Index(
                fields=["id"],
                name="purchase_open",
                condition=Q(state__in=["sent", "part_received"]),
            ),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(currency__regex=r"^[A-Z]{3}$"),
                name="purchase_currency_is_a_code",
                violation_error_message="A currency is three capital letters, such as GBP.",
            ),
            models.CheckConstraint(
                condition=Q(sent_at__isnull=True, sent_by__isnull=True)
                | Q(sent_at__gte=F("made_at"), sent_by__isnull=False),
                name="purchase_sent_has_who_and_when",
                violation_error_message="Say who sent the order and when.",
            ),
            models.CheckConstraint(
                condition=Q(state__in=["draft", "cancelled"]) | Q(sent_at__isnull=False),
                name="purchase_is_sent_before_it_is_received",
                violation_error_message="An order is sent before anything of it is received.",
            ),
            models.CheckConstraint(
                condition=(
                    Q(state__in=["draft", "sent", "part_received"])
                    & Q(ended_at__isnull=True, ended_by__isnull=True, ended_why="")
                )
                | (
                    Q(state__in=["closed", "cancelled"], ended_by__isnull=False)
                    & Q(ended_at__gte=F("made_at"))
                    & ~Q(ended_why="")
                ),
                name="purchase_end_has_who_when_and_why",
                violation_error_message="Say who ended the order, when and why.",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def number(self) -> str:
        """What the order is called on paper: PO-00012."""
        return f"PO-{self.pk or 0:05}"


class PurchaseLine(models.Model):
    """So many of one SKU on an order, and what became of them.

    Each is one of: ``received`` (came and was kept), ``disputed`` (under a complaint that is open),
    ``waived`` (will not come: credited, or the rest was given up), or still to come. ``over`` were
    kept beyond the order. Only receiving, complaints and the end of the order write these.
    ``expected`` is what the counter is told of the rest.
    """

    order = models.ForeignKey(PurchaseOrder, on_delete=models.RESTRICT, related_name="lines")
    sku = models.ForeignKey(Sku, on_delete=models.RESTRICT, related_name="purchase_lines")
    quantity = models.PositiveIntegerField("ordered")
    unit_price = models.DecimalField(
        "price of one", max_digits=9, decimal_places=2, null=True, blank=True
    )
    expected_on = models.DateField("expected on", null=True, blank=True)
    oldest_months = models.PositiveSmallIntegerField(
        "oldest accepted on arrival, months", null=True, blank=True
    )
    received = models.PositiveIntegerField("received", default=0)
    disputed = models.PositiveIntegerField("disputed", default=0)
    waived = models.PositiveIntegerField("will not come", default=0)
    over = models.PositiveIntegerField("kept beyond the order", default=0)
    expected = models.OneToOneField(
        ExpectedDelivery,
        on_delete=models.RESTRICT,
        null=True,
        blank=True,
        related_name="purchase_line",
    )

    class Meta:
        verbose_name = "purchase line"
        verbose_name_plural = "purchase lines"
        ordering = ("order", "sku__code", "pk")
        indexes = [models.Index(fields=["sku", "order"], name="purchase_line_of_sku")]
        constraints = [
            models.UniqueConstraint(
                fields=["order", "sku"],
                name="purchase_line_is_one_per_sku",
                violation_error_message="This SKU is on the order already: change its line.",
            ),
            models.CheckConstraint(
                condition=Q(quantity__gte=1, quantity__lte=100_000),
                name="purchase_line_orders_some",
                violation_error_message="An order line is for 1 to 100,000 pieces.",
            ),
            models.CheckConstraint(
                condition=Q(quantity__gte=F("received") + F("disputed") + F("waived")),
                name="purchase_line_is_not_filled_beyond_its_quantity",
                violation_error_message=(
                    "More of this SKU has come, or been given up, than the order would then say."
                ),
            ),
            models.CheckConstraint(
                condition=Q(unit_price__isnull=True) | Q(unit_price__gte=0),
                name="purchase_line_price_is_not_negative",
                violation_error_message="A price cannot be below nought.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} of {self.sku_id}"

    @property
    def to_come(self) -> int:
        """How many are still to come."""
        return self.quantity - self.received - self.disputed - self.waived
