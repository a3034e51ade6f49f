"""Marks of car makers: what each says of issues that meet on one car, and of old stock."""

from __future__ import annotations

from django.conf import settings
from django.contrib.postgres.constraints import ExclusionConstraint
from django.contrib.postgres.fields import DateTimeRangeField, RangeOperators
from django.db import models
from django.db.models import Q
from django.db.models.functions import Upper

from fitments.models.car import CarMaker
from fitments.models.evidence import Evidence
from inventory.ground.fields import Line, Words


class Mixing(models.TextChoices):
    """Whether tyres of several issues of a mark may be on one car."""

    FREE = "free", "issues may be mixed"
    SAME = "same", "one issue round the car"


class SaidOfMark(models.Model):
    """What is said of a mark. ``old_stock`` is told with tyres of an issue that was superseded."""

    mixing = models.CharField("mixing issues", max_length=4, choices=Mixing, blank=True, default="")
    old_stock = Words("words for old stock", max_length=500, blank=True, default="")
    evidence = models.ForeignKey(
        Evidence, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    why = Words("why it says so now", max_length=500, blank=True, default="")
    written_at = models.DateTimeField()
    written_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )

    class Meta:
        abstract = True


class IssuerMark(SaidOfMark):
    """One mark of one car maker, as it is known now; every version of it is kept."""

    car_maker = models.ForeignKey(CarMaker, on_delete=models.RESTRICT, related_name="marks")
    mark = Line("mark", max_length=20)

    class Meta:
        verbose_name = "mark of a car maker"
        verbose_name_plural = "marks of car makers"
        ordering = ("car_maker__name", "mark")
        constraints = [
            models.UniqueConstraint(
                "car_maker",
                Upper("mark"),
                name="issuer_mark_is_one_per_maker",
                violation_error_message="This maker's mark is there already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.car_maker}, mark {self.mark}"


class IssuerMarkVersion(SaidOfMark):
    """What was known of a mark during ``known``; written by the database alone."""

    issuer_mark = models.ForeignKey(IssuerMark, on_delete=models.RESTRICT, related_name="versions")
    known = DateTimeRangeField("as known")

    class Meta:
        verbose_name = "version of a mark"
        verbose_name_plural = "versions of marks"
        ordering = ("issuer_mark", "pk")
        constraints = [
            ExclusionConstraint(
                name="issuer_mark_versions_do_not_overlap",
                expressions=[
                    ("issuer_mark", RangeOperators.EQUAL),
                    ("known", RangeOperators.OVERLAPS),
                ],
                violation_error_message="Something else was known of this mark then.",
            ),
            models.CheckConstraint(
                condition=Q(known__isempty=False, known__lower_inf=False),
                name="issuer_mark_version_is_known_from_some_day",
                violation_error_message="A version is known from the moment it was recorded.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.issuer_mark}, as known {self.known}"
