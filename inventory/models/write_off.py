"""Tyres that are no longer worth keeping in the books, and why."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from inventory.ground.fields import Words
from inventory.models.lot import Lot
from inventory.models.place import Place
from inventory.models.posting import Posting
from inventory.models.transfer import Transfer


class WriteOffReason(models.TextChoices):
    DAMAGED = "damaged", "damaged beyond use"
    TOO_OLD = "too_old", "too old to be sold"
    LOST = "lost", "lost or stolen"
    CUT_UP = "cut_up", "cut up or tested"
    OTHER = "other", "another reason"


class WriteOffState(models.TextChoices):
    ASKED = "asked", "asked for"
    POSTED = "posted", "posted"
    REFUSED = "refused", "refused"


class WriteOff(models.Model):
    """So many of a lot in a place to be written off: asked for, then posted or refused.

    ``transfer`` is the one on which they did not arrive.
    """

    lot = models.ForeignKey(Lot, on_delete=models.RESTRICT, related_name="write_offs")
    place = models.ForeignKey(Place, on_delete=models.RESTRICT, related_name="+")
    quantity = models.PositiveIntegerField("tyres")
    reason = models.CharField("reason", max_length=8, choices=WriteOffReason)
    why = Words("what happened", max_length=500, blank=True, default="")
    state = models.CharField(
        "state", max_length=8, choices=WriteOffState, default=WriteOffState.ASKED
    )
    self_checked = models.BooleanField("self-checked", default=False)
    alone_up_to = models.PositiveIntegerField("one person writes off up to")
    asked_at = models.DateTimeField()
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )
    decided_at = models.DateTimeField(null=True, blank=True)
    decided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    transfer = models.ForeignKey(
        Transfer, on_delete=models.RESTRICT, null=True, blank=True, related_name="write_offs"
    )
    answer = Words("answer", max_length=500, blank=True, default="")
    posting = models.OneToOneField(
        Posting, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )

    class Meta:
        verbose_name = "write-off"
        verbose_name_plural = "write-offs"
        ordering = ("-pk",)
        constraints = [
            models.CheckConstraint(
                condition=Q(quantity__gte=1),
                name="write_off_is_of_some",
                violation_error_message="A write-off is of one tyre or more.",
            ),
            models.CheckConstraint(
                condition=~Q(reason="other") | ~Q(why=""),
                name="write_off_for_another_reason_says_which",
                violation_error_message="Say what happened: the reason is not on the list.",
            ),
            models.CheckConstraint(
                condition=Q(state="asked", decided_at__isnull=True, decided_by__isnull=True)
                | Q(
                    state__in=["posted", "refused"],
                    decided_at__gte=F("asked_at"),
                    decided_by__isnull=False,
                ),
                name="write_off_decision_has_who_and_when",
                violation_error_message="Say who decided and when.",
            ),
            models.CheckConstraint(
                condition=Q(state="posted", posting__isnull=False)
                | (~Q(state="posted") & Q(posting__isnull=True)),
                name="write_off_is_posted_by_a_posting",
                violation_error_message="A write-off that is posted has its posting.",
            ),
            models.CheckConstraint(
                condition=~Q(state="posted")
                | Q(quantity__lte=F("alone_up_to"))
                | Q(self_checked=True)
                | ~Q(decided_by=F("asked_by")),
                name="write_off_of_many_has_two_people",
                violation_error_message=(
                    "Another person posts a write-off of so many, or it says that it is "
                    "self-checked."
                ),
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def number(self) -> str:
        """What it is called on paper: W-00012."""
        return f"W-{self.pk or 0:05}"
