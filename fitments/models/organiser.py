"""Who runs races, in which season, for which class, and what their list allows."""

from __future__ import annotations

from django.contrib.postgres.constraints import ExclusionConstraint
from django.contrib.postgres.fields import ArrayField, DateTimeRangeField, RangeOperators
from django.db import models
from django.db.models import Q

from fitments.models.car import Variant
from inventory.ground.fields import Line


class Organiser(models.Model):
    """A body that publishes a list of tyres for its races."""

    code = Line("code", max_length=20, unique=True)
    name = Line("name")

    class Meta:
        verbose_name = "organiser"
        verbose_name_plural = "organisers"
        ordering = ("name", "pk")

    def __str__(self) -> str:
        return self.name


class ClassTerms(models.Model):
    """What an edition says of a class; ``admitted`` are the keys of the cars, in their order.

    The database writes ``admitted`` whenever a car is admitted or taken off, so that it stands in
    the versions too.
    """

    name = Line("class")
    age_limit_months = models.PositiveSmallIntegerField(
        "oldest tyre allowed, months", null=True, blank=True
    )
    buffing_allowed = models.BooleanField("buffing allowed", null=True, blank=True)
    admitted = ArrayField(
        models.BigIntegerField(), default=list, blank=True, editable=False, verbose_name="cars then"
    )

    class Meta:
        abstract = True


class CompetitionClass(ClassTerms):
    """One class of an organiser's season, by one edition of its list, as it is known now.

    Another edition is a class of its own; a misread limit is a version of its own.
    """

    organiser = models.ForeignKey(Organiser, on_delete=models.RESTRICT, related_name="classes")
    code = Line("code", max_length=40, unique=True)
    season = models.PositiveSmallIntegerField("season")
    edition = Line("edition", max_length=20, default="1")
    variants = models.ManyToManyField(
        Variant, blank=True, related_name="competition_classes", verbose_name="cars admitted"
    )

    class Meta:
        verbose_name = "competition class"
        verbose_name_plural = "competition classes"
        ordering = ("-season", "organiser__name", "name", "edition")
        constraints = [
            models.UniqueConstraint(
                fields=["organiser", "season", "edition", "name"],
                name="competition_class_is_one_per_edition",
                violation_error_message="This class is there already in this edition.",
            ),
            models.CheckConstraint(
                condition=Q(season__gte=1900, season__lte=2100),
                name="competition_class_season_is_a_year",
                violation_error_message="A season is a year of four figures.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.organiser} {self.season}, {self.name}"


class CompetitionClassVersion(ClassTerms):
    """What was known of a class during ``known``; written by the database alone."""

    competition_class = models.ForeignKey(
        CompetitionClass, on_delete=models.RESTRICT, related_name="versions"
    )
    known = DateTimeRangeField("as known")

    class Meta:
        verbose_name = "version of a class"
        verbose_name_plural = "versions of classes"
        ordering = ("competition_class", "pk")
        constraints = [
            ExclusionConstraint(
                name="class_versions_do_not_overlap",
                expressions=[
                    ("competition_class", RangeOperators.EQUAL),
                    ("known", RangeOperators.OVERLAPS),
                ],
                violation_error_message="Something else was known of this class then.",
            ),
            models.CheckConstraint(
                condition=Q(known__isempty=False, known__lower_inf=False),
                name="class_version_is_known_from_some_day",
                violation_error_message="A version is known from the moment it was recorded.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name}, as known {self.known}"
