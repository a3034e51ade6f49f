"""What is on order and has not come: the ground on which tyres are promised beforehand."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from inventory.ground.fields import Line, Words
from inventory.models.sku import Sku


class ExpectedState(models.TextChoices):
    EXPECTED = "expected", "expected"
    ARRIVED = "arrived", "arrived"
    CANCELLED = "cancelled", "will not come"


class ExpectedQuerySet(models.QuerySet["ExpectedDelivery"]):
    def still_to_come(self) -> ExpectedQuerySet:
        return self.filter(state=ExpectedState.EXPECTED)


class ExpectedDelivery(models.Model):
    """So many of one SKU on a day. ``reference`` names whatever they were ordered under.

    ``expected_on`` moves as the maker moves it; ``first_expected_on`` stays.
    """

    sku = models.ForeignKey(Sku, on_delete=models.RESTRICT, related_name="expected")
    quantity = models.PositiveIntegerField("tyres")
    expected_on = models.DateField("expected on")
    first_expected_on = models.DateField("expected at first on")
    reference = Line("ordered under", max_length=60)
    state = models.CharField(
        "state", max_length=9, choices=ExpectedState, default=ExpectedState.EXPECTED
    )
    note = Words("note", max_length=500, blank=True, default="")
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )

    objects = ExpectedQuerySet.as_manager()

    class Meta:
        verbose_name = "expected delivery"
        verbose_name_plural = "expected deliveries"
        ordering = ("expected_on", "pk")
        indexes = [
            models.Index(
                fields=["sku", "expected_on"],
                name="expected_of_sku",
                condition=Q(state="expected"),
            ),
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["reference", "sku"],
                name="expected_is_one_per_reference_and_sku",
                violation_error_message="This SKU is expected under this reference already.",
            ),
            models.CheckConstraint(
                condition=Q(quantity__gte=1, quantity__lte=1_000_000),
                name="expected_is_some_tyres",
                violation_error_message="One tyre or more is expected, and no more than 1,000,000.",
            ),
            models.CheckConstraint(
                condition=Q(state="expected", ended_at__isnull=True, ended_by__isnull=True)
                | (~Q(state="expected") & Q(ended_at__gte=F("made_at"), ended_by__isnull=False)),
                name="expected_end_has_who_and_when",
                violation_error_message="Say who booked its arrival, or that it will not come.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} of {self.sku} on {self.expected_on:%d.%m.%Y}"
