"""On what terms a supplier sells: price, minimum, pack, lead time, and the batches of its maker."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Upper
from django.db.models.lookups import Exact
from simple_history.models import HistoricalRecords

from inventory.ground.fields import Line, Words
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier

LEAST = "The least on an order is 1 to 100,000 pieces, a pack 1 to 1,000."
LEAD_TIME = "A lead time is 1 to 1,100 days."
SPREAD = (
    "The days early or late are from none to the lead time: nothing comes before it was ordered."
)
OLDEST = "The oldest accepted is 1 to 600 months, or empty."
LEAST_OF_A_BATCH = "The least of a batch is 1 to 1,000,000 pieces."


def _told(sentence: str) -> dict[str, str]:
    """What a number beyond its column's range is told: the same as one that breaks its rule."""
    return {"min_value": sentence, "max_value": sentence}


class SupplierTerms(models.Model):
    """What one supplier asks for one SKU, and what the house accepts of it.

    An order line is of ``minimum`` pieces or more, in whole packs of ``pack``; so the least is
    whole packs too, and no price break is from fewer, nor dearer than one from fewer. Goods come
    ``lead_time_days`` after the order, and nearly always no more than ``lead_time_spread_days``
    earlier or later. On arrival a tyre may be ``oldest_months`` old, not more, and is made in
    ``country``, of ``pattern_issue``; empty: not agreed.
    """

    supplier = models.ForeignKey(Supplier, on_delete=models.RESTRICT, related_name="terms")
    sku = models.ForeignKey(Sku, on_delete=models.RESTRICT, related_name="terms")
    their_code = Line("supplier's own code", max_length=40, blank=True, default="")
    currency = Line("currency", max_length=3, default="GBP")
    minimum = models.PositiveIntegerField(
        "least on an order", default=1, error_messages=_told(LEAST)
    )
    pack = models.PositiveSmallIntegerField(
        "pieces in a pack", default=1, error_messages=_told(LEAST)
    )
    lead_time_days = models.PositiveSmallIntegerField(
        "lead time, days", default=14, error_messages=_told(LEAD_TIME)
    )
    lead_time_spread_days = models.PositiveSmallIntegerField(
        "days early or late, at the most", default=0, error_messages=_told(SPREAD)
    )
    oldest_months = models.PositiveSmallIntegerField(
        "oldest accepted on arrival, months", null=True, blank=True, error_messages=_told(OLDEST)
    )
    country = Line("made in, if agreed", max_length=60, blank=True, default="")
    pattern_issue = Line("pattern issue, if agreed", max_length=20, blank=True, default="")
    note = Words("note", max_length=500, blank=True, default="")

    history = HistoricalRecords(related_name="+")

    class Meta:
        verbose_name = "terms of a supplier"
        verbose_name_plural = "terms of suppliers"
        ordering = ("supplier__name", "sku__code", "pk")
        constraints = [
            models.UniqueConstraint(
                fields=["supplier", "sku"],
                name="terms_are_one_per_supplier_and_sku",
                violation_error_message="This supplier's terms for this SKU are there already.",
            ),
            models.CheckConstraint(
                condition=Q(minimum__gte=1, minimum__lte=100_000, pack__gte=1, pack__lte=1000),
                name="terms_are_for_one_or_more",
                violation_error_message=LEAST,
            ),
            models.CheckConstraint(
                condition=Q(pack__lt=1) | Q(Exact(F("minimum") % F("pack"), 0)),
                name="terms_least_is_whole_packs",
                violation_error_message="The least on an order is whole packs.",
            ),
            models.CheckConstraint(
                condition=Q(lead_time_days__gte=1, lead_time_days__lte=1100),
                name="terms_lead_time_is_some_days",
                violation_error_message=LEAD_TIME,
            ),
            models.CheckConstraint(
                condition=Q(lead_time_spread_days__lte=F("lead_time_days")),
                name="terms_spread_is_within_the_lead_time",
                violation_error_message=SPREAD,
            ),
            models.CheckConstraint(
                condition=Q(oldest_months__isnull=True)
                | Q(oldest_months__gte=1, oldest_months__lte=600),
                name="terms_oldest_is_some_months",
                violation_error_message=OLDEST,
            ),
            models.CheckConstraint(
                condition=Q(currency__regex=r"^[A-Z]{3}$"),
                name="terms_currency_is_a_code",
                violation_error_message="A currency is three capital letters, such as GBP.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.supplier_id}: {self.sku_id}"


class PriceBreak(models.Model):
    """From so many pieces on one order line, each costs so much."""

    terms = models.ForeignKey(
        SupplierTerms,
        on_delete=models.CASCADE,  # a part of the terms themselves
        related_name="breaks",
    )
    from_quantity = models.PositiveIntegerField("from so many")
    unit_price = models.DecimalField("price of one", max_digits=9, decimal_places=2)

    class Meta:
        verbose_name = "price break"
        verbose_name_plural = "price breaks"
        ordering = ("terms", "from_quantity")
        constraints = [
            models.UniqueConstraint(
                fields=["terms", "from_quantity"],
                name="price_break_is_one_per_quantity",
                violation_error_message="A price from this quantity is there already.",
            ),
            models.CheckConstraint(
                condition=Q(from_quantity__gte=1) & Q(unit_price__gte=0),
                name="price_break_is_from_one_and_not_negative",
                violation_error_message="A price is from 1 piece on, and not below nought.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.from_quantity}: {self.unit_price}"


class ProductionBatch(models.Model):
    """A run of a maker that one can order into until its cut-off date.

    ``skus`` are what it makes; none named: whatever the supplier sells. The supplier takes no
    order for fewer than ``minimum_tyres`` over all SKUs of a batch.
    """

    supplier = models.ForeignKey(Supplier, on_delete=models.RESTRICT, related_name="batches")
    code = Line("batch", max_length=40)
    order_by = models.DateField("order by")
    ready_on = models.DateField("expected on")
    minimum_tyres = models.PositiveIntegerField(
        "least of all SKUs together", default=1, error_messages=_told(LEAST_OF_A_BATCH)
    )
    skus = models.ManyToManyField(Sku, blank=True, related_name="batches", verbose_name="SKUs")
    note = Words("note", max_length=500, blank=True, default="")

    history = HistoricalRecords(related_name="+")

    class Meta:
        verbose_name = "production batch"
        verbose_name_plural = "production batches"
        ordering = ("order_by", "supplier__name", "pk")
        constraints = [
            models.UniqueConstraint(
                "supplier",
                Upper("code"),
                name="batch_code_is_one_per_supplier",
                violation_error_message="This supplier has a batch of this code already.",
            ),
            models.CheckConstraint(
                condition=Q(ready_on__gte=F("order_by")),
                name="batch_is_ready_after_its_cut_off",
                violation_error_message="A batch is ready on the last day to order, or later.",
            ),
            models.CheckConstraint(
                condition=Q(minimum_tyres__gte=1, minimum_tyres__lte=1_000_000),
                name="batch_minimum_is_one_or_more",
                violation_error_message=LEAST_OF_A_BATCH,
            ),
        ]

    def __str__(self) -> str:
        return self.code
