"""Tyres on their way from one site to another: what left, and what arrived."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from inventory.ground.fields import Line, Words
from inventory.models.lot import Lot
from inventory.models.outing import Outing
from inventory.models.place import Place, Site


class TransferState(models.TextChoices):
    ON_THE_WAY = "on_the_way", "on the way"
    ARRIVING = "arriving", "arriving"
    ARRIVED = "arrived", "arrived"
    SHORT = "short", "arrived short"


TO_COME = (TransferState.ON_THE_WAY, TransferState.ARRIVING)
"""Something of it may still come."""


class ShortReason(models.TextChoices):
    """Why some did not arrive; what was left behind stays in the books, the rest leaves them."""

    LEFT_BEHIND = "left_behind", "left behind, never loaded"
    LOST = "lost", "lost or stolen"
    DAMAGED = "damaged", "damaged beyond use"
    OTHER = "other", "another reason"


class Transfer(models.Model):
    """One load between two sites. Until they arrive its tyres are in the place ``through``.

    ``at_work_by`` has its arrival in hand. Rules over its lines are kept by the database as well:
    nothing has arrived of one on the way, and nothing is still to come of one that has ended.
    """

    from_site = models.ForeignKey(Site, on_delete=models.RESTRICT, related_name="+")
    to_site = models.ForeignKey(Site, on_delete=models.RESTRICT, related_name="+")
    through = models.ForeignKey(Place, on_delete=models.RESTRICT, related_name="+")
    outing = models.ForeignKey(
        Outing, on_delete=models.RESTRICT, null=True, blank=True, related_name="transfers"
    )
    carrier = Line("carrier", blank=True, default="")
    note = Words("note", max_length=500, blank=True, default="")
    state = models.CharField(
        "state", max_length=10, choices=TransferState, default=TransferState.ON_THE_WAY
    )
    sent_at = models.DateTimeField()
    sent_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )
    at_work_at = models.DateTimeField(null=True, blank=True)
    at_work_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    short_reason = models.CharField(
        "why short", max_length=11, choices=ShortReason, blank=True, default=""
    )
    short_why = Words("what happened", max_length=500, blank=True, default="")
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
                fields=["to_site"],
                name="transfer_to_come",
                condition=Q(state__in=["on_the_way", "arriving"]),
            ),
        ]
        constraints = [
            models.CheckConstraint(
                condition=~Q(from_site=F("to_site")),
                name="transfer_is_between_two_sites",
                violation_error_message="A transfer goes from one site to another.",
            ),
            models.CheckConstraint(
                condition=Q(
                    state__in=["on_the_way", "arriving"],
                    ended_at__isnull=True,
                    ended_by__isnull=True,
                )
                | Q(
                    state__in=["arrived", "short"],
                    ended_at__gte=F("sent_at"),
                    ended_by__isnull=False,
                ),
                name="transfer_end_has_who_and_when",
                violation_error_message="Say who booked its arrival and when.",
            ),
            models.CheckConstraint(
                condition=Q(at_work_at__isnull=True, at_work_by__isnull=True) & ~Q(state="arriving")
                | Q(at_work_at__gte=F("sent_at"), at_work_by__isnull=False)
                & ~Q(state="on_the_way"),
                name="transfer_arriving_is_in_somebodys_hands",
                violation_error_message="Say who has its arrival in hand, and since when.",
            ),
            models.CheckConstraint(
                condition=Q(state="arriving")
                | Q(state="short") & ~Q(short_reason="")
                | Q(state__in=["on_the_way", "arrived"], short_reason="", short_why=""),
                name="transfer_that_is_short_says_why",
                violation_error_message="Say why some of it did not arrive.",
            ),
            models.CheckConstraint(
                condition=~Q(short_reason="other") | ~Q(short_why=""),
                name="transfer_short_for_another_reason_says_which",
                violation_error_message="Say what happened: the reason is not on the list.",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def number(self) -> str:
        """What it is called on paper: T-00012."""
        return f"T-{self.pk or 0:05}"


class TransferLine(models.Model):
    """So many of one lot that were sent, of which some have arrived and some never will."""

    transfer = models.ForeignKey(Transfer, on_delete=models.RESTRICT, related_name="lines")
    lot = models.ForeignKey(Lot, on_delete=models.RESTRICT, related_name="transfer_lines")
    quantity = models.PositiveIntegerField("sent")
    arrived = models.PositiveIntegerField("arrived", default=0)
    missing = models.PositiveIntegerField("did not arrive", default=0)

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
                condition=Q(quantity__gte=1) & Q(arrived__lte=F("quantity") - F("missing")),
                name="transfer_line_brings_no_more_than_was_sent",
                violation_error_message="No more of a lot can arrive than was sent.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} of {self.lot_id}"

    @property
    def to_come(self) -> int:
        """How many are still on the way."""
        return self.quantity - self.arrived - self.missing
