"""A complaint to a supplier about what it delivered, followed until it is settled."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from inventory.ground.fields import Line, Words
from inventory.models.delivery import Delivery, DeliveryLine, Disagreement
from inventory.models.lot import Lot
from inventory.models.place import Place
from inventory.models.posting import Posting
from inventory.models.purchase import PurchaseLine
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier


class SupplierComplaintState(models.TextChoices):
    OPEN = "open", "to be sent"
    SENT = "sent", "with the supplier"
    SETTLED = "settled", "settled"


class Settlement(models.TextChoices):
    CREDIT = "credit", "credited"
    REPLACEMENT = "replacement", "to be replaced"
    ACCEPTED = "accepted", "accepted after all"


class SupplierComplaintQuerySet(models.QuerySet["SupplierComplaint"]):
    def unsettled(self) -> SupplierComplaintQuerySet:
        return self.exclude(state=SupplierComplaintState.SETTLED)

    def with_names(self) -> SupplierComplaintQuerySet:
        return self.select_related(
            *("supplier", "delivery", "sku", "lot", "order_line__order", "quarantine"),
            *("opened_by", "sent_by", "settled_by"),
        )


class SupplierComplaint(models.Model):
    """So many tyres of one SKU that are not what was ordered.

    Opened by what a ``delivery`` comes to, or by hand about a lot, days later: then ``quarantine``
    is where its tyres were put, and ``delivery`` is empty where they did not come by one. ``lot``
    is what they are; empty where they did not come at all. ``disputes`` is how many of the order
    line are in doubt until it is settled. ``sent_back`` is the posting by which they left again.
    """

    supplier = models.ForeignKey(
        Supplier, on_delete=models.RESTRICT, related_name="delivery_complaints"
    )
    delivery = models.ForeignKey(
        Delivery, on_delete=models.RESTRICT, null=True, blank=True, related_name="complaints"
    )
    quarantine = models.ForeignKey(
        Place, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    delivery_line = models.ForeignKey(
        DeliveryLine, on_delete=models.RESTRICT, null=True, blank=True, related_name="complaints"
    )
    order_line = models.ForeignKey(
        PurchaseLine, on_delete=models.RESTRICT, null=True, blank=True, related_name="complaints"
    )
    sku = models.ForeignKey(Sku, on_delete=models.RESTRICT, related_name="+")
    lot = models.ForeignKey(
        Lot, on_delete=models.RESTRICT, null=True, blank=True, related_name="supplier_complaints"
    )
    reason = models.CharField("reason", max_length=13, choices=Disagreement)
    quantity = models.PositiveIntegerField("tyres")
    disputes = models.PositiveIntegerField("of the order", default=0)
    says = Words("what is wrong", max_length=2000)
    state = models.CharField(
        "state",
        max_length=7,
        choices=SupplierComplaintState,
        default=SupplierComplaintState.OPEN,
    )
    opened_at = models.DateTimeField()
    opened_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )
    sent_at = models.DateTimeField(null=True, blank=True)
    sent_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    their_reference = Line("supplier's reference", max_length=60, blank=True, default="")
    settled_at = models.DateTimeField(null=True, blank=True)
    settled_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    settlement = models.CharField(
        "settlement", max_length=11, choices=Settlement, blank=True, default=""
    )
    credit = models.DecimalField("credit", max_digits=9, decimal_places=2, null=True, blank=True)
    answer = Words("answer", max_length=2000, blank=True, default="")
    sent_back = models.OneToOneField(
        Posting, on_delete=models.RESTRICT, null=True, blank=True, related_name="supplier_complaint"
    )

    objects = SupplierComplaintQuerySet.as_manager()

    class Meta:
        verbose_name = "complaint to a supplier"
        verbose_name_plural = "complaints to suppliers"
        ordering = ("-pk",)
        indexes = [
            models.Index(
                fields=["supplier", "id"],
                name="supplier_complaint_unsettled",
                condition=~Q(state="settled"),
            ),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(delivery__isnull=False)
                | Q(quarantine__isnull=False, lot__isnull=False),
                name="supplier_complaint_is_of_a_delivery_or_a_lot",
                violation_error_message=(
                    "A complaint is of a delivery, or of a lot that was put into quarantine."
                ),
            ),
            models.CheckConstraint(
                condition=Q(quarantine__isnull=True) | Q(order_line__isnull=True, disputes=0),
                name="supplier_complaint_by_hand_leaves_the_order",
                violation_error_message=(
                    "A complaint that is opened by hand puts nothing of an order in doubt."
                ),
            ),
            models.CheckConstraint(
                condition=Q(quantity__gte=1) & Q(disputes__lte=F("quantity")) & ~Q(says=""),
                name="supplier_complaint_says_what_is_wrong",
                violation_error_message="Say what is wrong, and with how many tyres.",
            ),
            models.CheckConstraint(
                condition=Q(sent_at__isnull=True, sent_by__isnull=True)
                | Q(sent_at__gte=F("opened_at"), sent_by__isnull=False),
                name="supplier_complaint_sent_has_who_and_when",
                violation_error_message="Say who sent the complaint and when.",
            ),
            models.CheckConstraint(
                condition=(
                    ~Q(state="settled")
                    & Q(settled_at__isnull=True, settled_by__isnull=True)
                    & Q(settlement="", answer="", credit__isnull=True)
                )
                | (
                    Q(state="settled", settled_at__gte=F("opened_at"), settled_by__isnull=False)
                    & ~Q(settlement="")
                    & ~Q(answer="")
                ),
                name="supplier_complaint_settled_has_who_when_and_answer",
                violation_error_message="Say who settled it, when, how, and what was answered.",
            ),
            models.CheckConstraint(
                condition=Q(credit__isnull=True) | Q(credit__gte=0, settlement="credit"),
                name="supplier_complaint_credit_is_for_a_credit",
                violation_error_message="Only a credit has an amount, and it is not below nought.",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def number(self) -> str:
        """What it is called in letters: SC-00012."""
        return f"SC-{self.pk or 0:05}"
