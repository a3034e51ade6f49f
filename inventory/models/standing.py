"""What stands until it is true no more: one row, however many nights it stays so."""

from __future__ import annotations

from datetime import date
from typing import Any, Self

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from inventory.ground.fields import Line, Words


class StandingQuerySet(models.QuerySet[Any]):
    def standing(self) -> Self:
        """True still, whatever was said to it."""
        return self.filter(ended_at__isnull=True)

    def shown(self, today: date) -> Self:
        """Standing, and not left until a later day."""
        return self.standing().exclude(left_until__gt=today)


class Standing(models.Model):
    """``seen_at`` is when it was last found true, ``ended_at`` when it no more was.

    A person may say that it was seen to (``acknowledged``), or leave it until a day, with a reason.
    """

    raised_at = models.DateTimeField("raised")
    seen_at = models.DateTimeField("last found true")
    ended_at = models.DateTimeField("true no more since", null=True, blank=True)
    sentence = Words("why", max_length=2000)
    told = models.JSONField("the numbers behind it", default=dict)
    acknowledged_at = models.DateTimeField(null=True, blank=True)
    acknowledged_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    left_until = models.DateField("left until", null=True, blank=True)
    left_why = Line("why left", max_length=240, blank=True, default="")
    left_at = models.DateTimeField(null=True, blank=True)
    left_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )

    objects = StandingQuerySet.as_manager()

    class Meta:
        abstract = True
        constraints = [
            models.CheckConstraint(
                condition=Q(seen_at__gte=F("raised_at"))
                & (Q(ended_at__isnull=True) | Q(ended_at__gte=F("seen_at"))),
                name="%(class)s_runs_forwards",
                violation_error_message="It is raised first, then seen, then ended.",
            ),
            models.CheckConstraint(
                condition=Q(acknowledged_at__isnull=True, acknowledged_by__isnull=True)
                | Q(acknowledged_at__isnull=False, acknowledged_by__isnull=False),
                name="%(class)s_acknowledged_has_who_and_when",
                violation_error_message="Say who saw to it and when.",
            ),
            models.CheckConstraint(
                condition=Q(
                    left_at__isnull=True, left_by__isnull=True, left_until__isnull=True, left_why=""
                )
                | (
                    Q(left_at__isnull=False, left_by__isnull=False, left_until__isnull=False)
                    & ~Q(left_why="")
                ),
                name="%(class)s_left_has_who_when_until_and_why",
                violation_error_message="Say who left it, until when and why.",
            ),
        ]
