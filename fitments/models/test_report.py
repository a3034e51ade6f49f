"""What an independent test found of one tyre: evidence for a SKU."""

from __future__ import annotations

from django.conf import settings
from django.contrib.postgres.constraints import ExclusionConstraint
from django.contrib.postgres.fields import DateTimeRangeField, RangeOperators
from django.db import models
from django.db.models import F, Q

from fitments.models.evidence import Evidence
from inventory.ground.fields import Line, Words
from inventory.models.sku import Sku


class SaidOfResult(models.Model):
    """A figure with its unit, and the rank among so many; ``result`` None where only ranked."""

    result = models.DecimalField("result", max_digits=10, decimal_places=3, null=True, blank=True)
    unit = Line("unit", max_length=20, blank=True, default="")
    rank = models.PositiveSmallIntegerField("rank", null=True, blank=True)
    out_of = models.PositiveSmallIntegerField("of so many", null=True, blank=True)
    note = Line("note", max_length=240, blank=True, default="")
    withdrawn = models.BooleanField("does not stand any more", default=False)
    why = Words("why it says so now", max_length=500, blank=True, default="")
    written_at = models.DateTimeField()
    written_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )

    class Meta:
        abstract = True


class TestResult(SaidOfResult):
    """One discipline of one report for one SKU, as it is known now; every version is kept.

    Publisher and date are those of the report.
    """

    __test__ = False  # no test of ours, whatever its name

    evidence = models.ForeignKey(Evidence, on_delete=models.RESTRICT, related_name="results")
    sku = models.ForeignKey(Sku, on_delete=models.RESTRICT, related_name="+")
    discipline = Line("discipline", max_length=80)

    class Meta:
        verbose_name = "result of a test"
        verbose_name_plural = "results of tests"
        ordering = ("sku", "discipline", "evidence")
        indexes = [models.Index(fields=["sku"], name="test_result_of_sku")]  # at the counter
        constraints = [
            models.UniqueConstraint(
                fields=["evidence", "sku", "discipline"],
                name="test_result_is_one_per_discipline",
                violation_error_message="This report's result in this discipline is there already.",
            ),
            models.CheckConstraint(
                condition=Q(result__isnull=False) | Q(rank__isnull=False),
                name="test_result_says_something",
                violation_error_message="Give the result, or the rank, or both.",
            ),
            models.CheckConstraint(
                condition=Q(result__isnull=True, unit="") | (Q(result__isnull=False) & ~Q(unit="")),
                name="test_result_has_its_unit",
                violation_error_message="A result has a unit, and a unit belongs to a result.",
            ),
            models.CheckConstraint(
                condition=Q(rank__isnull=True, out_of__isnull=True)
                | Q(rank__isnull=False, rank__gte=1, out_of__isnull=True)
                | Q(rank__isnull=False, rank__gte=1, out_of__gte=F("rank")),
                name="test_result_rank_is_within",
                violation_error_message="A rank is 1 or more, and at most of how many were tested.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.discipline} of {self.sku_id}"


class TestResultVersion(SaidOfResult):
    """What was known of a result during ``known``; written by the database alone."""

    __test__ = False

    test_result = models.ForeignKey(TestResult, on_delete=models.RESTRICT, related_name="versions")
    known = DateTimeRangeField("as known")

    class Meta:
        verbose_name = "version of a result"
        verbose_name_plural = "versions of results"
        ordering = ("test_result", "pk")
        constraints = [
            ExclusionConstraint(
                name="test_result_versions_do_not_overlap",
                expressions=[
                    ("test_result", RangeOperators.EQUAL),
                    ("known", RangeOperators.OVERLAPS),
                ],
                violation_error_message="Something else was known of this result then.",
            ),
            models.CheckConstraint(
                condition=Q(known__isempty=False, known__lower_inf=False),
                name="test_result_version_is_known_from_some_day",
                violation_error_message="A version is known from the moment it was recorded.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.test_result}, as known {self.known}"
