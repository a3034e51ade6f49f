"""Tyres on their way from one site to another: what left, and what arrived."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from inventory.ground.fields import Line, Words
from inventory.models.lot import Lot
from inventory.models.place import Place, Site


class TransferState(models.TextChoices):
    ON_THE_WAY = "on_the_way", "on the way"
    ARRIVED = "arrived", "arrived"


class Transfer(models.Model):
    """One load between two sites. While it is on the way its tyres are in the place ``through``."""

    from_site = models.ForeignKey(Site, on_delete=models.RESTRICT, related_name="+")
    to_site = models.ForeignKey(Site, on_delete=models.RESTRICT, related_name="+")
    through = models.ForeignKey(Place, on_delete=models.RESTRICT, related_name="+")
    carrier = Line("carrier", blank=True, default="")
    note = Words("note", max_length=500, blank=True, default="")
    state = models.CharField(
        "state", max_length=10, choices=TransferState, default=TransferState.ON_THE_WAY
    )
    sent_at = models.DateTimeField()
    sent_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )

    class Meta:
        verbose_name = "transfer"
        verbose_name_plural = "transfers"
        ordering = ("-pk",)
        indexes = [
            models.Index(
                fields=["to_site"], name="transfer_on_the_way", condition=Q(state="on_the_way")
            ),
        ]
        constraints = [
            models.CheckConstraint(
                condition=~Q(from_site=F("to_site")),
                name="transfer_is_between_two_sites",
                violation_error_message="A transfer goes from one site to another.",
            ),
            models.CheckConstraint(
                condition=Q(state="on_the_way", ended_at__isnull=True, ended_by__isnull=True)
                | Q(state="arrived", ended_at__gte=F("sent_at"), ended_by__isnull=False),
                name="transfer_end_has_who_and_when",
                violation_error_message="Say who booked its arrival and when.",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def number(self) -> str:
        """What it is called on paper: T-00012."""
        return f"T-{self.pk or 0:05}"


class TransferLine(models.Model):
    """So many of one lot on the way, and how many of them have arrived."""

    transfer = models.ForeignKey(Transfer, on_delete=models.RESTRICT, related_name="lines")
    lot = models.ForeignKey(Lot, on_delete=models.RESTRICT, related_name="transfer_lines")
    quantity = models.PositiveIntegerField("sent")
    arrived = models.PositiveIntegerField("arrived", default=0)

    class Meta:
        verbose_name = "transfer line"
        verbose_name_plural = "transfer lines"
        ordering = ("transfer", "lot__sku__code", "pk")
        constraints = [
            models.UniqueConstraint(
                fields=["transfer", "lot"],
                name="transfer_line_is_one_per_lot",
                violation_error_message="A transfer has one line for each lot.",
            ),
            models.CheckConstraint(
                condition=Q(quantity__gte=1) & Q(arrived__lte=F("quantity")),
                name="transfer_line_brings_no_more_than_was_sent",
                violation_error_message="No more of a lot can arrive than was sent.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} of {self.lot_id}"
