"""What has left the house, with what was known of it then. Written once."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from inventory.ground.fields import Line
from inventory.models.customer import Customer
from inventory.models.hold import Hold
from inventory.models.lot import Lot
from inventory.models.pick import PickList
from inventory.models.place import Place
from inventory.models.posting import Posting
from inventory.models.sale import Order, OrderLine


class Despatch(models.Model):
    """Goods that left. ``known`` is the release as it was given: car, verdict, reasons, cautions.

    Where the rules alone would not have let them go, ``word_by`` is whose word did, and why.
    """

    order = models.ForeignKey(Order, on_delete=models.RESTRICT, related_name="despatches")
    customer = models.ForeignKey(Customer, on_delete=models.RESTRICT, related_name="despatches")
    pick_list = models.OneToOneField(PickList, on_delete=models.RESTRICT, related_name="despatch")
    posting = models.OneToOneField(Posting, on_delete=models.RESTRICT, related_name="despatch")
    carrier = Line("carrier", blank=True, default="")
    parcels = models.PositiveSmallIntegerField("parcels", default=1)
    known = models.JSONField("what was known")
    despatched_at = models.DateTimeField()
    despatched_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )
    word_at = models.DateTimeField("the owner's word at", null=True, blank=True)
    word_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    word_why = Line("the owner's reason", max_length=240, blank=True, default="")

    class Meta:
        verbose_name = "despatch"
        verbose_name_plural = "despatches"
        ordering = ("-pk",)
        permissions = (("word_despatch", "Can let tyres leave against advice"),)
        indexes = [models.Index(fields=["customer", "-id"], name="despatch_to_customer")]
        constraints = [
            models.CheckConstraint(
                condition=Q(parcels__gte=1),
                name="despatch_has_a_parcel",
                violation_error_message="A despatch is of one parcel or more.",
            ),
            models.CheckConstraint(
                condition=Q(word_at__isnull=True, word_by__isnull=True, word_why="")
                | (Q(word_at__isnull=False, word_by__isnull=False) & ~Q(word_why="")),
                name="despatch_word_has_who_when_and_why",
                violation_error_message="The owner's word has who gave it, when and why.",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def number(self) -> str:
        """What it is called on the delivery note and in the ledger: DS-00012."""
        return f"DS-{self.pk or 0:05}"


class DespatchLine(models.Model):
    """So many of one lot that left; ``known`` freezes what was known of it and of its approval."""

    despatch = models.ForeignKey(Despatch, on_delete=models.RESTRICT, related_name="lines")
    order_line = models.ForeignKey(
        OrderLine, on_delete=models.RESTRICT, related_name="despatch_lines"
    )
    hold = models.ForeignKey(Hold, on_delete=models.RESTRICT, related_name="despatch_lines")
    lot = models.ForeignKey(Lot, on_delete=models.RESTRICT, related_name="despatch_lines")
    place = models.ForeignKey(Place, on_delete=models.RESTRICT, related_name="+")
    for_place = Line("place on the car", max_length=20, blank=True, default="")
    quantity = models.PositiveIntegerField("quantity")
    known = models.JSONField("what was known", default=dict)

    class Meta:
        verbose_name = "despatch line"
        verbose_name_plural = "despatch lines"
        ordering = ("despatch", "pk")
        constraints = [
            models.UniqueConstraint(
                fields=["despatch", "hold", "lot", "place", "for_place"],
                name="despatch_line_is_one_per_lot",
                violation_error_message="A despatch has one line for each lot of a set.",
            ),
            models.CheckConstraint(
                condition=Q(quantity__gte=1, quantity__lte=1_000_000),
                name="despatch_line_is_some",
                violation_error_message="A despatch line is of 1 to 1,000,000.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} of {self.lot_id}"
