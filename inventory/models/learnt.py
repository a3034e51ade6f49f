"""What a night learnt of all sales: kept, so that no page need learn it again."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q


class Learnt(models.Model):
    """The seasons, the scatter of demand and the means of the ranges, as of a night.

    ``told`` has them by name (see ``inventory.reordering.lessons``); the days say which months it
    was learnt from, ``skus`` and ``pieces`` how much.
    """

    learnt_at = models.DateTimeField("learnt")
    first_day = models.DateField("from sales since")
    last_day = models.DateField("until")
    skus = models.PositiveIntegerField("SKUs")
    pieces = models.PositiveBigIntegerField("pieces asked for")
    told = models.JSONField("what was learnt", default=dict)

    class Meta:
        verbose_name = "what a night learnt"
        verbose_name_plural = "what the nights learnt"
        ordering = ("-learnt_at", "-pk")
        constraints = [
            models.CheckConstraint(
                condition=Q(last_day__gte=F("first_day")),
                name="learnt_from_days_that_run_forwards",
                violation_error_message="It is learnt from a first day to a last one.",
            ),
        ]

    def __str__(self) -> str:
        return f"learnt on {self.learnt_at:%d.%m.%Y}"
