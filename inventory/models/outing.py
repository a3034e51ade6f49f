"""A van taken to a meeting and back: loaded at home, sold from, unloaded at home."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from inventory.ground.fields import Line, Words
from inventory.models.place import Site


class OutingQuerySet(models.QuerySet["Outing"]):
    def out(self) -> OutingQuerySet:
        """Not unloaded yet."""
        return self.filter(ended_at__isnull=True)


class Outing(models.Model):
    """One meeting that a van goes to; what it is loaded with, and brings back, are transfers.

    The database sees to it that its van is a mobile site, and that its transfers go between its
    van and its home.
    """

    van = models.ForeignKey(Site, on_delete=models.RESTRICT, related_name="outings")
    home = models.ForeignKey(Site, on_delete=models.RESTRICT, related_name="+")
    meeting = Line("meeting")
    day = models.DateField("first day of the meeting")
    note = Words("note", max_length=500, blank=True, default="")
    opened_at = models.DateTimeField()
    opened_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )

    objects = OutingQuerySet.as_manager()

    class Meta:
        verbose_name = "outing of a van"
        verbose_name_plural = "outings of vans"
        ordering = ("-pk",)
        constraints = [
            models.UniqueConstraint(
                fields=["van"],
                condition=Q(ended_at__isnull=True),
                name="outing_is_one_at_a_time",
                violation_error_message="This van is out already: unload it first.",
            ),
            models.CheckConstraint(
                condition=~Q(van=F("home")),
                name="outing_is_away_from_home",
                violation_error_message="A van is loaded at another site than itself.",
            ),
            models.CheckConstraint(
                condition=Q(ended_at__isnull=True, ended_by__isnull=True)
                | Q(ended_at__gte=F("opened_at"), ended_by__isnull=False),
                name="outing_end_has_who_and_when",
                violation_error_message="Say who unloaded it and when.",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def number(self) -> str:
        """What it is called on paper: V-00012."""
        return f"V-{self.pk or 0:05}"
