"""A customer's complaint about tyres that we sent, taken to the maker and answered."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from inventory.ground.fields import Line, Words
from inventory.models.customer import Customer
from inventory.models.despatch import DespatchLine
from inventory.models.lot import Lot
from inventory.models.supplier import Supplier


class ComplaintState(models.TextChoices):
    OPEN = "open", "open"
    WITH_MAKER = "with_maker", "with the maker"
    CLOSED = "closed", "closed"


class ComplaintOutcome(models.TextChoices):
    REPLACED = "replaced", "replaced"
    CREDITED = "credited", "credited"
    REJECTED = "rejected", "not accepted"
    WITHDRAWN = "withdrawn", "withdrawn"


class ComplaintQuerySet(models.QuerySet["CustomerComplaint"]):
    def unanswered(self) -> ComplaintQuerySet:
        return self.exclude(state=ComplaintState.CLOSED)

    def with_names(self) -> ComplaintQuerySet:
        return self.select_related(
            *("customer", "despatch_line__despatch", "lot__sku", "supplier"),
            *("opened_by", "sent_on_by", "closed_by"),
        )


class CustomerComplaint(models.Model):
    """What is wrong with tyres of one lot that left with one despatch."""

    customer = models.ForeignKey(Customer, on_delete=models.RESTRICT, related_name="complaints")
    despatch_line = models.ForeignKey(
        DespatchLine, on_delete=models.RESTRICT, related_name="complaints"
    )
    lot = models.ForeignKey(Lot, on_delete=models.RESTRICT, related_name="complaints")
    quantity = models.PositiveSmallIntegerField("tyres", default=1)
    says = Words("what is wrong", max_length=2000)
    tread_left_mm = models.DecimalField(
        "tread left, mm", max_digits=3, decimal_places=1, null=True, blank=True
    )
    state = models.CharField(
        "state", max_length=10, choices=ComplaintState, default=ComplaintState.OPEN
    )
    opened_at = models.DateTimeField()
    opened_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )
    supplier = models.ForeignKey(
        Supplier, on_delete=models.RESTRICT, null=True, blank=True, related_name="complaints"
    )
    sent_on_at = models.DateTimeField(null=True, blank=True)
    sent_on_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    maker_reference = Line("maker's reference", max_length=60, blank=True, default="")
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    outcome = models.CharField(
        "outcome", max_length=9, choices=ComplaintOutcome, blank=True, default=""
    )
    answer = Words("answer", max_length=2000, blank=True, default="")

    objects = ComplaintQuerySet.as_manager()

    class Meta:
        verbose_name = "customer's complaint"
        verbose_name_plural = "customers' complaints"
        ordering = ("-pk",)
        constraints = [
            models.CheckConstraint(
                condition=Q(quantity__gte=1) & ~Q(says=""),
                name="complaint_says_what_is_wrong",
                violation_error_message="Say what is wrong, and with how many tyres.",
            ),
            models.CheckConstraint(
                condition=Q(tread_left_mm__isnull=True)
                | Q(tread_left_mm__gte=0, tread_left_mm__lte=30),
                name="complaint_tread_is_nought_to_thirty_mm",
                violation_error_message="Tread left is 0 to 30 mm.",
            ),
            models.CheckConstraint(
                condition=Q(sent_on_at__isnull=True, sent_on_by__isnull=True)
                | Q(sent_on_at__gte=F("opened_at"), sent_on_by__isnull=False),
                name="complaint_sent_on_has_who_and_when",
                violation_error_message="Say who took it to the maker and when.",
            ),
            models.CheckConstraint(
                condition=(
                    ~Q(state="closed")
                    & Q(closed_at__isnull=True, closed_by__isnull=True, outcome="", answer="")
                )
                | (
                    Q(state="closed", closed_at__gte=F("opened_at"), closed_by__isnull=False)
                    & ~Q(outcome="")
                    & ~Q(answer="")
                ),
                name="complaint_close_has_who_when_and_answer",
                violation_error_message="Say who closed it, when, and with what answer.",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def number(self) -> str:
        """What it is called in letters: CC-00012."""
        return f"CC-{self.pk or 0:05}"


class ComplaintPicture(models.Model):
    """A photograph: the digest of the file as it came, and a copy without hidden data to show."""

    complaint = models.ForeignKey(
        CustomerComplaint, on_delete=models.RESTRICT, related_name="pictures"
    )
    name = Line("name of the file")
    digest = Line("digest of the file as received", max_length=64)
    media_type = Line("media type", max_length=40)
    content = models.BinaryField("copy to be shown")
    added_at = models.DateTimeField()
    added_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )

    class Meta:
        verbose_name = "picture of a complaint"
        verbose_name_plural = "pictures of a complaint"
        ordering = ("complaint", "pk")
        constraints = [
            models.UniqueConstraint(
                fields=["complaint", "digest"],
                name="complaint_picture_is_added_once",
                violation_error_message="This picture is there already.",
            ),
            models.CheckConstraint(
                condition=Q(digest__regex=r"^[0-9a-f]{64}$"),
                name="complaint_picture_digest_is_sha256",
                violation_error_message="A digest is 64 figures and small letters a to f.",
            ),
        ]

    def __str__(self) -> str:
        return self.name
