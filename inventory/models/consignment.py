"""Goods on consignment: a supplier's tyres that lie here, bought in or given back by a day."""

from __future__ import annotations

from datetime import date

from django.conf import settings
from django.db import models
from django.db.models import Exists, OuterRef, Q

from inventory.ground.fields import Line, Words
from inventory.models.lot import Lot
from inventory.models.place import Place
from inventory.models.posting import Posting
from inventory.models.supplier import Supplier


class TyresLeft(models.Func):
    """Of a consignment by its key: tyres in its lots, and in what those were worked into as long as
    that is the consignor's too."""

    arity = 1
    output_field = models.IntegerField()
    template = """
    (WITH RECURSIVE kin(lot_id) AS (
        SELECT c.lot_id FROM inventory_consignedlot c WHERE c.consignment_id = %(expressions)s
        UNION SELECT l.id FROM kin k
        JOIN inventory_lot l ON l.made_from_id = k.lot_id AND l.owner = 'supplier'
    ) SELECT coalesce(sum(b.on_hand), 0)::integer
    FROM kin JOIN inventory_balance b ON b.lot_id = kin.lot_id)
    """


class NothingAgreed(models.Func):
    """Of a consignor's lot by its key: whether nothing was agreed of it, nor of what it goes back
    to."""

    arity = 1
    output_field = models.BooleanField()
    template = """
    (WITH RECURSIVE source(lot_id, made_from_id) AS (
        SELECT l.id, l.made_from_id FROM inventory_lot l WHERE l.id = %(expressions)s
        UNION SELECT l.id, l.made_from_id FROM source s
        JOIN inventory_lot l ON l.id = s.made_from_id AND l.owner = 'supplier'
    ) SELECT NOT EXISTS (
        SELECT FROM source s JOIN inventory_consignedlot c ON c.lot_id = s.lot_id
    ))
    """


class ConsignmentQuerySet(models.QuerySet["Consignment"]):
    def with_left(self) -> ConsignmentQuerySet:
        """With ``left``, the tyres that lie here still and are the consignor's."""
        return self.annotate(left=TyresLeft("pk"))

    def overdue(self, today: date) -> ConsignmentQuerySet:
        """Those of which tyres lie here that should have been bought or given back."""
        late = self.filter(due_on__lt=today)
        return late.with_left().filter(Q(left__gt=0))


class Consignment(models.Model):
    """What one supplier left here at one time. It is over when none of its tyres lies here."""

    supplier = models.ForeignKey(Supplier, on_delete=models.RESTRICT, related_name="consignments")
    reference = Line("their paper", max_length=60, blank=True, default="")
    due_on = models.DateField("to be bought or given back by")
    currency = Line("currency", max_length=3, default="GBP")
    note = Words("note", max_length=500, blank=True, default="")
    taken_at = models.DateTimeField("taken at")
    taken_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )

    objects = ConsignmentQuerySet.as_manager()

    class Meta:
        verbose_name = "consignment"
        verbose_name_plural = "consignments"
        ordering = ("due_on", "pk")
        indexes = [models.Index(fields=["due_on"], name="consignment_due_on")]
        constraints = [
            models.CheckConstraint(
                condition=Q(currency__regex=r"^[A-Z]{3}$"),
                name="consignment_currency_is_a_code",
                violation_error_message="A currency is three capital letters, such as GBP.",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def number(self) -> str:
        """What it is called on paper: CG-00012."""
        return f"CG-{self.pk or 0:05}"


class ConsignedLot(models.Model):
    """One lot of a consignment, which the database sees to is its supplier's, at the price agreed.

    ``quantity`` lay here when it became part of it.
    """

    consignment = models.ForeignKey(Consignment, on_delete=models.RESTRICT, related_name="lots")
    lot = models.OneToOneField(Lot, on_delete=models.RESTRICT, related_name="consigned")
    quantity = models.PositiveIntegerField("tyres")
    price = models.DecimalField("agreed price of one", max_digits=9, decimal_places=2)

    class Meta:
        verbose_name = "consigned lot"
        verbose_name_plural = "consigned lots"
        ordering = ("pk",)
        constraints = [
            models.CheckConstraint(
                condition=Q(quantity__gte=1),
                name="consigned_lot_is_of_some",
                violation_error_message="One tyre or more is taken on consignment.",
            ),
            models.CheckConstraint(
                condition=Q(price__gt=0),
                name="consigned_lot_price_is_above_nought",
                violation_error_message="The price agreed for one tyre is above nought.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} x {self.lot}"


class StepKind(models.TextChoices):
    BOUGHT = "bought", "bought in"
    GIVEN_BACK = "given_back", "given back"


class StepQuerySet(models.QuerySet["ConsignmentStep"]):
    def with_corrected(self) -> StepQuerySet:
        """With ``corrected``: whether its posting was taken back."""
        rows = Posting.objects.filter(corrects=OuterRef("posting_id"))
        return self.annotate(corrected=Exists(rows))


class ConsignmentStep(models.Model):
    """So many tyres of one lot bought in or given back. Written once.

    A step whose posting was taken back by a correction did not happen after all.
    """

    consignment = models.ForeignKey(Consignment, on_delete=models.RESTRICT, related_name="steps")
    kind = models.CharField("what was done", max_length=10, choices=StepKind)
    lot = models.ForeignKey(Lot, on_delete=models.RESTRICT, related_name="+")
    place = models.ForeignKey(Place, on_delete=models.RESTRICT, related_name="+")
    quantity = models.PositiveIntegerField("tyres")
    into = models.ForeignKey(
        Lot, on_delete=models.RESTRICT, null=True, blank=True, related_name="bought_from"
    )
    unit_cost = models.DecimalField(
        "unit cost", max_digits=9, decimal_places=2, null=True, blank=True
    )
    posting = models.ForeignKey(
        Posting, on_delete=models.RESTRICT, related_name="consignment_steps"
    )
    done_at = models.DateTimeField()
    done_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )

    objects = StepQuerySet.as_manager()

    class Meta:
        verbose_name = "step of a consignment"
        verbose_name_plural = "steps of consignments"
        ordering = ("-pk",)
        constraints = [
            models.CheckConstraint(
                condition=Q(quantity__gte=1),
                name="consignment_step_is_of_some",
                violation_error_message="One tyre or more is bought in or given back.",
            ),
            models.CheckConstraint(
                condition=Q(kind="bought", into__isnull=False, unit_cost__gt=0)
                | Q(kind="given_back", into__isnull=True, unit_cost__isnull=True),
                name="consignment_step_bought_has_a_lot_and_a_cost",
                violation_error_message=(
                    "What is bought in goes into a lot of the house at a cost above nought; "
                    "what is given back has neither."
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} x {self.lot} {self.get_kind_display()}"
