"""What was asked for and not had. Sales alone understate demand when the shelf is empty."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from inventory.ground.fields import Line, Words
from inventory.models.customer import Customer
from inventory.models.sku import Sku


class Enquiry(models.Model):
    """A question that went away unmet: for a SKU, or for a size that nothing on the shelf had."""

    asked_at = models.DateTimeField()
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )
    sku = models.ForeignKey(
        Sku, on_delete=models.RESTRICT, null=True, blank=True, related_name="enquiries"
    )
    size = Line("size", max_length=60, blank=True, default="")
    pieces = models.PositiveSmallIntegerField("tyres asked for", default=4)
    car = Line("for the car", blank=True, default="")
    customer = models.ForeignKey(
        Customer, on_delete=models.RESTRICT, null=True, blank=True, related_name="enquiries"
    )
    note = Words("note", max_length=500, blank=True, default="")

    class Meta:
        verbose_name = "enquiry"
        verbose_name_plural = "enquiries"
        ordering = ("-asked_at", "-pk")
        indexes = [models.Index(fields=["sku", "asked_at"], name="enquiry_sku_when")]
        constraints = [
            models.CheckConstraint(
                condition=Q(sku__isnull=False) | ~Q(size=""),
                name="enquiry_names_a_sku_or_a_size",
                violation_error_message="An enquiry names a SKU or a size.",
            ),
            models.CheckConstraint(
                condition=Q(pieces__gte=1, pieces__lte=100),
                name="enquiry_is_for_one_to_a_hundred",
                violation_error_message="An enquiry is for 1 to 100 tyres.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.pieces} x {self.sku or self.size}"
