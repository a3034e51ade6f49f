"""Which size goes on which axle of which variant, and on whose word."""

from __future__ import annotations

from django.contrib.postgres.fields import ArrayField
from django.contrib.postgres.indexes import GinIndex
from django.db import models
from django.db.models import F, Q

from fitments.models.car import Variant
from inventory.ground.fields import Line
from inventory.models.customer import Axle


class Standing(models.TextChoices):
    FITTED_NEW = "fitted_new", "fitted when new"
    APPROVED = "approved", "approved by the car's maker"
    ACCEPTED = "accepted", "accepted alternative"


class Fitment(models.Model):
    """A size for one axle of a variant, for cars built between two days (both inclusive).

    Rows of one ``combination`` belong on one car together: fronts and rears of a staggered pair,
    or the same size twice. A change of size in the middle of a model year is two rows.
    """

    variant = models.ForeignKey(Variant, on_delete=models.RESTRICT, related_name="fitments")
    axle = models.CharField("axle", max_length=5, choices=Axle)
    combination = Line("combination", max_length=20, default="A")
    size_text = Line("size as typed")
    size = Line("size as read")
    rim_mm = models.PositiveSmallIntegerField("rim diameter, mm", null=True, blank=True)
    size_keys = ArrayField(models.CharField(max_length=60), default=list, blank=True)
    least_load_index = models.PositiveSmallIntegerField(null=True, blank=True)
    least_speed = Line("least speed symbol", max_length=4, blank=True, default="")
    standing = models.CharField("standing", max_length=10, choices=Standing)
    built_from = models.DateField("for cars built from", null=True, blank=True)
    built_to = models.DateField("for cars built to", null=True, blank=True)
    wheel = Line("with wheel", max_length=60, blank=True, default="")
    source = Line("source")

    class Meta:
        verbose_name = "fitment"
        verbose_name_plural = "fitments"
        ordering = ("variant", "combination", "axle", "built_from", "pk")
        indexes = [
            # cars_for: every car that takes this size
            GinIndex(fields=["size_keys"], name="fitment_size_keys"),
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["variant", "axle", "combination", "size", "built_from", "wheel"],
                name="fitment_is_said_once",
                nulls_distinct=False,
                violation_error_message="This size is told already for this axle and time.",
            ),
            models.CheckConstraint(
                condition=Q(built_from__isnull=True)
                | Q(built_to__isnull=True)
                | Q(built_from__lte=F("built_to")),
                name="fitment_is_from_before_to",
                violation_error_message="The first day comes before the last.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.variant} {self.axle}: {self.size}"
