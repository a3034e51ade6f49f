"""Fronts and rears that go out together: what planning counts in sets and not in pieces."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from inventory.ground.fields import Line
from inventory.models.sku import Sku


class SkuPair(models.Model):
    """A front with its rear. ``in_sets`` is the share of the scarcer one's pieces, in per cent,
    that goes out in sets of 2 + 2; ``source`` says who found that."""

    front = models.OneToOneField(Sku, on_delete=models.RESTRICT, related_name="pair_as_front")
    rear = models.OneToOneField(Sku, on_delete=models.RESTRICT, related_name="pair_as_rear")
    in_sets = models.PositiveSmallIntegerField("sold in sets, per cent", default=60)
    source = Line("who says so")

    class Meta:
        verbose_name = "front with its rear"
        verbose_name_plural = "fronts with their rears"
        ordering = ("front__code", "pk")
        constraints = [
            models.CheckConstraint(
                condition=~Q(front=F("rear")),
                name="sku_pair_is_of_two",
                violation_error_message="A front and its rear are two SKUs.",
            ),
            models.CheckConstraint(
                condition=Q(in_sets__lte=100),
                name="sku_pair_share_is_a_share",
                violation_error_message="Sold in sets are 0 to 100 per cent.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.front_id} with {self.rear_id}"
