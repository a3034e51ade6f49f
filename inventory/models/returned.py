"""What came back, why, in what condition, and where it went."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from inventory.ground.fields import Line, Words
from inventory.models.customer import Customer
from inventory.models.despatch import Despatch, DespatchLine
from inventory.models.lot import Condition, Lot
from inventory.models.place import Place
from inventory.models.posting import Posting


class ReturnReason(models.TextChoices):
    NOT_WANTED = "not_wanted", "not wanted"
    WRONG_TYRE = "wrong_tyre", "not what was ordered"
    DOES_NOT_SUIT = "does_not_suit", "does not suit the car"
    DAMAGED = "damaged", "damaged on the way"
    FAULTY = "faulty", "faulty"


class Return(models.Model):
    """Goods of one despatch that came back."""

    despatch = models.ForeignKey(Despatch, on_delete=models.RESTRICT, related_name="returns")
    customer = models.ForeignKey(Customer, on_delete=models.RESTRICT, related_name="returns")
    posting = models.OneToOneField(Posting, on_delete=models.RESTRICT, related_name="returned")
    reason = models.CharField("reason", max_length=13, choices=ReturnReason)
    note = Words("note", max_length=500, blank=True, default="")
    returned_at = models.DateTimeField()
    returned_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )

    class Meta:
        verbose_name = "return"
        verbose_name_plural = "returns"
        ordering = ("-pk",)

    def __str__(self) -> str:
        return self.number

    @property
    def number(self) -> str:
        """What it is called on paper and in the ledger: R-00012."""
        return f"R-{self.pk or 0:05}"


class ReturnLine(models.Model):
    """So many of one despatch line, as they came back: into their own lot, or one made from it."""

    came_back = models.ForeignKey(Return, on_delete=models.RESTRICT, related_name="lines")
    despatch_line = models.ForeignKey(
        DespatchLine, on_delete=models.RESTRICT, related_name="return_lines"
    )
    quantity = models.PositiveIntegerField("quantity")
    condition = models.CharField("condition", max_length=9, choices=Condition)
    into_lot = models.ForeignKey(Lot, on_delete=models.RESTRICT, related_name="return_lines")
    place = models.ForeignKey(Place, on_delete=models.RESTRICT, related_name="+")
    note = Line("note", max_length=240, blank=True, default="")

    class Meta:
        verbose_name = "return line"
        verbose_name_plural = "return lines"
        ordering = ("came_back", "pk")
        constraints = [
            models.CheckConstraint(
                condition=Q(quantity__gte=1, quantity__lte=1_000_000),
                name="return_line_is_some",
                violation_error_message="A return line is of 1 to 1,000,000.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} into {self.into_lot_id}"
