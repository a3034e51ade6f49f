"""What was sold before this system kept the books, by SKU and month, as other books say."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from inventory.ground.fields import Line
from inventory.models.sku import Sku


class EarlierSales(models.Model):
    """One month of one SKU. ``month`` is its first day; ``sold`` are pieces sent out less those
    that came back, below nought where more came back; ``days_without`` are days with none to sell.
    """

    sku = models.ForeignKey(Sku, on_delete=models.RESTRICT, related_name="earlier_sales")
    month = models.DateField("month")
    sold = models.IntegerField("sold less returned")
    asked_in_vain = models.PositiveIntegerField("asked for and not had", default=0)
    days_without = models.PositiveSmallIntegerField("days with none to sell", default=0)
    source = Line("from which books", max_length=120)

    class Meta:
        verbose_name = "month of earlier sales"
        verbose_name_plural = "earlier sales"
        ordering = ("sku__code", "month", "pk")
        constraints = [
            models.UniqueConstraint(
                fields=["sku", "month"],
                name="earlier_sales_are_one_per_sku_and_month",
                violation_error_message="This month of this SKU is there already.",
            ),
            models.CheckConstraint(
                condition=Q(month__day=1),
                name="earlier_sales_month_is_its_first_day",
                violation_error_message="A month is told by its first day.",
            ),
            models.CheckConstraint(
                condition=Q(sold__gte=-100_000, sold__lte=100_000, asked_in_vain__lte=100_000),
                name="earlier_sales_are_of_a_shop",
                violation_error_message="A month's pieces are 100,000 at the most.",
            ),
            models.CheckConstraint(
                condition=Q(days_without__lte=31),
                name="earlier_sales_days_are_of_a_month",
                violation_error_message="A month has 31 days at the most.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.sku_id}, {self.month:%m.%Y}: {self.sold}"
