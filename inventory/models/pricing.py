"""What a customer pays less, and what old stock costs less."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from inventory.ground.fields import Line

_PERCENT = Q(percent_off__gte=0, percent_off__lte=90)


class PriceClass(models.Model):
    """So many per cent off the list for a kind of customer, such as the trade."""

    code = Line("code", max_length=20, unique=True)
    name = Line("name")
    percent_off = models.DecimalField("per cent off", max_digits=4, decimal_places=2)

    class Meta:
        verbose_name = "price class"
        verbose_name_plural = "price classes"
        ordering = ("code",)
        constraints = [
            models.CheckConstraint(
                condition=_PERCENT,
                name="price_class_takes_off_nought_to_ninety",
                violation_error_message="A price class takes off 0 to 90 per cent.",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class AgeStep(models.Model):
    """So many per cent off a tyre made at least so many months ago; the last step counts."""

    from_months = models.PositiveSmallIntegerField("made at least so many months ago", unique=True)
    percent_off = models.DecimalField("per cent off", max_digits=4, decimal_places=2)

    class Meta:
        verbose_name = "step for older stock"
        verbose_name_plural = "steps for older stock"
        ordering = ("from_months",)
        constraints = [
            models.CheckConstraint(
                condition=_PERCENT,
                name="age_step_takes_off_nought_to_ninety",
                violation_error_message="A step takes off 0 to 90 per cent.",
            ),
        ]

    def __str__(self) -> str:
        return f"from {self.from_months} months: {self.percent_off} %"
