"""What a tyre needs with it: tubes, rim tapes, valves."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from inventory.ground.fields import Line
from inventory.models.sku import Sku


class RimKind(models.TextChoices):
    ANY = "", "any rim"
    DISC = "disc", "steel disc"
    SPOKED = "spoked", "spoked"
    ALLOY = "alloy", "alloy"
    HUMPLESS = "humpless", "without safety humps"


class Need(models.TextChoices):
    MUST = "must", "must"
    MAY = "may", "may"
    MUST_NOT = "must_not", "must not"


class Companion(models.Model):
    """For tyres of this size (or this one SKU) on this kind of rim: that SKU, and whether it must.

    ``size_key`` is a search key as ``markings.size_key`` makes it; empty where the row speaks of
    one tyre SKU only.
    """

    tyre = models.ForeignKey(
        Sku, on_delete=models.RESTRICT, null=True, blank=True, related_name="companion_rules"
    )
    size_text = Line("size as typed", blank=True, default="")
    size_key = Line("size", max_length=60, blank=True, default="")
    rim_kind = models.CharField(
        "rim", max_length=8, choices=RimKind, blank=True, default=RimKind.ANY
    )
    valve = Line("valve", max_length=40, blank=True, default="")
    companion = models.ForeignKey(Sku, on_delete=models.RESTRICT, related_name="goes_with")
    need = models.CharField("need", max_length=8, choices=Need, default=Need.MUST)
    per_tyre = models.PositiveSmallIntegerField("pieces per tyre", default=1)
    source = Line("source", blank=True, default="")

    class Meta:
        verbose_name = "companion"
        verbose_name_plural = "companions"
        ordering = ("size_key", "tyre__code", "companion__code")
        indexes = [models.Index(fields=["size_key"], name="companion_size_key")]
        constraints = [
            models.CheckConstraint(
                condition=Q(tyre__isnull=False, size_key="")
                | (Q(tyre__isnull=True) & ~Q(size_key="")),
                name="companion_is_for_a_tyre_or_a_size",
                violation_error_message="Name either one tyre or one size, not both.",
            ),
            models.UniqueConstraint(
                fields=["tyre", "size_key", "rim_kind", "valve", "companion"],
                name="companion_is_said_once",
                nulls_distinct=False,
                violation_error_message="This companion is there already for this rim and valve.",
            ),
            models.CheckConstraint(
                condition=Q(per_tyre__gte=1, per_tyre__lte=4),
                name="companion_is_one_to_four_per_tyre",
                violation_error_message="A tyre takes one to four of a companion.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.tyre or self.size_text}: {self.get_need_display()} {self.companion}"
