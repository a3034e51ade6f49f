"""Approvals: claims by an issuer, that rest on evidence, and are superseded, never edited."""

from __future__ import annotations

from django.conf import settings
from django.contrib.postgres.constraints import ExclusionConstraint
from django.contrib.postgres.fields import (
    ArrayField,
    DateRangeField,
    DateTimeRangeField,
    RangeOperators,
)
from django.contrib.postgres.indexes import GinIndex
from django.db import models
from django.db.models import Q
from django.db.models.functions import Upper

from fitments.models.car import CarMaker, VehicleLine
from fitments.models.evidence import Evidence
from fitments.models.organiser import CompetitionClass
from inventory.ground.fields import Line, Words
from inventory.models.customer import Axle
from inventory.models.maker import Compound, Pattern


class Approval(models.Model):
    """What one claim is about; its identity never changes. What is said of it, is in its versions.

    A car maker approves for a model range, an organiser lists for a class of a season; exactly one
    of the two is set. One row an axle. No pattern or no compound means any. ``by_list`` is an
    approval with no moulded mark.
    """

    code = Line("code", max_length=60, unique=True)
    car_maker = models.ForeignKey(
        CarMaker, on_delete=models.RESTRICT, null=True, blank=True, related_name="approvals"
    )
    vehicle_line = models.ForeignKey(
        VehicleLine, on_delete=models.RESTRICT, null=True, blank=True, related_name="approvals"
    )
    competition_class = models.ForeignKey(
        CompetitionClass,
        on_delete=models.RESTRICT,
        null=True,
        blank=True,
        related_name="approvals",
    )
    axle = models.CharField("axle", max_length=5, choices=Axle)
    size_text = Line("size as typed", blank=True, default="")
    size = Line("size as read", blank=True, default="")
    size_keys = ArrayField(models.CharField(max_length=60), default=list, blank=True)
    pattern = models.ForeignKey(
        Pattern, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    compound = models.ForeignKey(
        Compound, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    mark = Line("mark", max_length=20, blank=True, default="")
    mark_issue = Line("mark issue", max_length=20, blank=True, default="")
    by_list = models.BooleanField("by list, without a mark", default=False)

    class Meta:
        verbose_name = "approval"
        verbose_name_plural = "approvals"
        ordering = ("code",)
        indexes = [
            # candidates_for: sizes approved beyond the fitted ones
            GinIndex(fields=["size_keys"], name="approval_size_keys"),
            models.Index(Upper("mark"), name="approval_mark", condition=~Q(mark="")),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(
                    car_maker__isnull=False,
                    vehicle_line__isnull=False,
                    competition_class__isnull=True,
                )
                | Q(
                    car_maker__isnull=True,
                    vehicle_line__isnull=True,
                    competition_class__isnull=False,
                ),
                name="approval_is_a_makers_or_an_organisers",
                violation_error_message=(
                    "An approval is a car maker's, for a model range, or an organiser's, for a "
                    "class: one of the two."
                ),
            ),
            models.CheckConstraint(
                condition=Q(by_list=True, mark="", mark_issue="")
                | (Q(by_list=False) & ~Q(mark="")),
                name="approval_is_by_mark_or_by_list",
                violation_error_message="An approval names its mark, or is by list.",
            ),
            models.CheckConstraint(
                condition=Q(axle__in=Axle.values),
                name="approval_is_for_one_axle",
                violation_error_message="An approval is for one axle: for both, record two.",
            ),
            models.UniqueConstraint(
                fields=[
                    "car_maker",
                    "vehicle_line",
                    "competition_class",
                    "axle",
                    "size",
                    "pattern",
                    "compound",
                    "mark",
                    "mark_issue",
                ],
                name="approval_is_claimed_once",
                nulls_distinct=False,
                violation_error_message="This approval is in the register already.",
            ),
        ]

    def __str__(self) -> str:
        return self.code


class ApprovalVersion(models.Model):
    """What was known of an approval during ``known``, about the days of ``valid``.

    Both ranges are half open. Insert-only: a correction or a withdrawal is a new version, and the
    one before it gets the end of its ``known`` in the same transaction, the one change the
    trigger lets through.
    """

    approval = models.ForeignKey(Approval, on_delete=models.RESTRICT, related_name="versions")
    valid = DateRangeField("in force")
    known = DateTimeRangeField("as known")
    withdrawn_on = models.DateField("withdrawn on", null=True, blank=True)
    superseded_by = models.ForeignKey(
        Approval, on_delete=models.RESTRICT, null=True, blank=True, related_name="supersedes"
    )
    least_load_index = models.PositiveSmallIntegerField(null=True, blank=True)
    buffing_allowed = models.BooleanField("buffing allowed", null=True, blank=True)
    conditions = Words("conditions", blank=True, default="")
    why = Words("why this version", max_length=500, blank=True, default="")
    evidence = models.ManyToManyField(Evidence, blank=True, related_name="approval_versions")
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )

    class Meta:
        verbose_name = "version of an approval"
        verbose_name_plural = "versions of approvals"
        ordering = ("approval", "pk")
        constraints = [
            ExclusionConstraint(
                name="approval_versions_do_not_overlap",
                expressions=[
                    ("approval", RangeOperators.EQUAL),
                    ("valid", RangeOperators.OVERLAPS),
                    ("known", RangeOperators.OVERLAPS),
                ],
                violation_error_message=(
                    "Something else is already said of this approval for some of these days."
                ),
            ),
            models.CheckConstraint(
                condition=Q(valid__isempty=False, known__isempty=False),
                name="approval_version_has_some_days",
                violation_error_message="The last day cannot come before the first.",
            ),
            models.CheckConstraint(
                condition=Q(known__lower_inf=False),
                name="approval_version_is_known_from_some_day",
                violation_error_message="A version is known from the moment it was recorded.",
            ),
            models.CheckConstraint(
                condition=~Q(superseded_by=models.F("approval")),
                name="approval_does_not_supersede_itself",
                violation_error_message="An approval cannot supersede itself.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.approval} in force {self.valid}"
