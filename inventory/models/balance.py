"""What the ledger says now, by lot and place. Derived: patrol proves it from the lines."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from inventory.models.lot import Lot
from inventory.models.place import Place


class Balance(models.Model):
    """Tyres of one lot in one place: in the racks, and how many of them are held."""

    # The lot leads the unique index: no second one is kept up with every posting.
    lot = models.ForeignKey(Lot, on_delete=models.RESTRICT, related_name="balances", db_index=False)
    place = models.ForeignKey(Place, on_delete=models.RESTRICT, related_name="balances")
    on_hand = models.IntegerField(default=0)
    held = models.IntegerField(default=0)

    class Meta:
        verbose_name = "balance"
        verbose_name_plural = "balances"
        ordering = ("lot", "place")
        indexes = [
            # "what lies in this place?"
            models.Index(fields=["place"], name="balance_in_place", condition=Q(on_hand__gt=0)),
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["lot", "place"],
                name="balance_is_one_per_lot_and_place",
                violation_error_message="There is a balance for this lot and place already.",
            ),
            models.CheckConstraint(
                condition=Q(held__gte=0) & Q(held__lte=F("on_hand")),
                name="balance_holds_no_more_than_it_has",
                violation_error_message="That would take more tyres than are free in this place.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.lot_id} at {self.place_id}: {self.on_hand}"
