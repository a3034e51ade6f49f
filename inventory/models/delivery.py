"""What a lorry brought: booked line by line, read off the sidewall, kept while it is half done."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Upper

from inventory.ground.fields import Line, Words
from inventory.models.lot import Lot
from inventory.models.place import Place
from inventory.models.posting import Posting
from inventory.models.purchase import PurchaseLine, PurchaseOrder
from inventory.models.sku import Hand, Sku
from inventory.models.supplier import Supplier


class Disagreement(models.TextChoices):
    """In what a tyre is not what was ordered."""

    WRONG_TYRE = "wrong_tyre", "another size"
    WRONG_SERVICE = "wrong_service", "another load index or speed symbol"
    WRONG_MARK = "wrong_mark", "wrong mark or issue"
    WRONG_SIDE = "wrong_side", "left instead of right, or right instead of left"
    WRONG_COUNTRY = "wrong_country", "made in another country than agreed"
    WRONG_ISSUE = "wrong_issue", "another pattern issue than agreed"
    TOO_OLD = "too_old", "too old on arrival"
    UNDATED = "undated", "no date code that tells its age"
    DAMAGED = "damaged", "damaged"
    PART_WORN = "part_worn", "part-worn"
    NOT_ORDERED = "not_ordered", "not ordered"
    OVER = "over", "more than was ordered"
    SHORT = "short", "fewer than the delivery note says"


class Found(models.TextChoices):
    SOUND = "", "sound"
    DAMAGED = "damaged", "damaged"
    PART_WORN = "part_worn", "part-worn"


class DeliveryState(models.TextChoices):
    IN_PROGRESS = "in_progress", "being booked in"
    BOOKED = "booked", "booked in"
    GIVEN_UP = "given_up", "given up"


class DeliveryQuerySet(models.QuerySet["Delivery"]):
    def in_progress(self) -> DeliveryQuerySet:
        return self.filter(state=DeliveryState.IN_PROGRESS)

    def with_names(self) -> DeliveryQuerySet:
        return self.select_related(
            *("supplier", "order", "place__site", "quarantine"),
            *("opened_by", "at_work_by", "ended_by"),
        )


class Delivery(models.Model):
    """One delivery by one delivery note. Stock is booked when it is finished, all of it at once.

    Accepted tyres go to ``place`` (goods in), what disagrees to ``quarantine``. ``at_work_by`` is
    who has it in hand now; anybody may take it up.
    """

    supplier = models.ForeignKey(Supplier, on_delete=models.RESTRICT, related_name="deliveries")
    order = models.ForeignKey(
        PurchaseOrder, on_delete=models.RESTRICT, null=True, blank=True, related_name="deliveries"
    )
    note_number = Line("number of the delivery note", max_length=40)
    arrived_on = models.DateField("arrived on")
    place = models.ForeignKey(Place, on_delete=models.RESTRICT, related_name="+")
    quarantine = models.ForeignKey(Place, on_delete=models.RESTRICT, related_name="+")
    state = models.CharField(
        "state", max_length=11, choices=DeliveryState, default=DeliveryState.IN_PROGRESS
    )
    note = Words("note", max_length=500, blank=True, default="")
    opened_at = models.DateTimeField()
    opened_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )
    at_work_at = models.DateTimeField()
    at_work_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    ended_why = Line("why it was given up", max_length=240, blank=True, default="")
    posting = models.OneToOneField(
        Posting, on_delete=models.RESTRICT, null=True, blank=True, related_name="delivery"
    )

    objects = DeliveryQuerySet.as_manager()

    class Meta:
        verbose_name = "delivery"
        verbose_name_plural = "deliveries"
        ordering = ("-pk",)
        indexes = [
            models.Index(
                fields=["id"], name="delivery_in_progress", condition=Q(state="in_progress")
            ),
        ]
        constraints = [
            models.UniqueConstraint(
                "supplier",
                Upper("note_number"),
                condition=~Q(state="given_up"),
                name="delivery_note_is_booked_once",
                violation_error_message="This delivery note is booked already.",
            ),
            models.CheckConstraint(
                condition=~Q(note_number=""),
                name="delivery_has_a_note",
                violation_error_message="Give the number of the delivery note, or a word for it.",
            ),
            models.CheckConstraint(
                condition=Q(state="in_progress", ended_at__isnull=True, ended_by__isnull=True)
                | (
                    ~Q(state="in_progress")
                    & Q(ended_at__gte=F("opened_at"), ended_by__isnull=False)
                ),
                name="delivery_end_has_who_and_when",
                violation_error_message="Say who ended the booking of the delivery and when.",
            ),
            models.CheckConstraint(
                condition=(Q(state="given_up") & ~Q(ended_why=""))
                | (~Q(state="given_up") & Q(ended_why="")),
                name="delivery_given_up_says_why",
                violation_error_message="Say why the booking was given up.",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def number(self) -> str:
        """What it is called on labels and in lots: D-00012."""
        return f"D-{self.pk or 0:05}"


class DeliveryNoteLine(models.Model):
    """How many of a SKU the delivery note says were brought."""

    delivery = models.ForeignKey(Delivery, on_delete=models.RESTRICT, related_name="note_lines")
    sku = models.ForeignKey(Sku, on_delete=models.RESTRICT, related_name="+")
    quantity = models.PositiveIntegerField("the note says")

    class Meta:
        verbose_name = "line of a delivery note"
        verbose_name_plural = "lines of a delivery note"
        ordering = ("delivery", "sku__code")
        constraints = [
            models.UniqueConstraint(
                fields=["delivery", "sku"],
                name="delivery_note_says_a_sku_once",
                violation_error_message="The note says how many of this SKU already.",
            ),
            models.CheckConstraint(
                condition=Q(quantity__gte=1, quantity__lte=100_000),
                name="delivery_note_says_some",
                violation_error_message="A delivery note says 1 to 100,000.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} of {self.sku_id}"


class DeliveryLine(models.Model):
    """A tyre, or a run of tyres that read alike, as it was found.

    ``date_code`` is as moulded, or the whole identification number; "" where there is none.
    ``size_read`` and ``side`` are "" where they are as the SKU says. ``disagrees`` and ``says`` are
    what the shop made of it. When the delivery is booked, ``lot`` took them, and ``over_lot`` as
    many as ``over`` that were more than was ordered.
    """

    delivery = models.ForeignKey(Delivery, on_delete=models.RESTRICT, related_name="lines")
    sku = models.ForeignKey(Sku, on_delete=models.RESTRICT, related_name="delivery_lines")
    order_line = models.ForeignKey(
        PurchaseLine, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    quantity = models.PositiveIntegerField("tyres", default=1)
    size_read = Line("size and service description as read", blank=True, default="")
    date_code = Line("date code or identification number", max_length=40, blank=True, default="")
    mark = Line("approval mark seen", max_length=20, blank=True, default="")
    mark_issue = Line("mark issue seen", max_length=20, blank=True, default="")
    pattern_issue = Line("pattern issue", max_length=20, blank=True, default="")
    country = Line("made in", max_length=60, blank=True, default="")
    side = models.CharField("side", max_length=5, choices=Hand, blank=True, default="")
    found = models.CharField("found", max_length=9, choices=Found, blank=True, default="")
    disagrees = models.CharField(
        "disagrees in", max_length=13, choices=Disagreement, blank=True, default=""
    )
    says = Line("what was ordered and what was read", max_length=500, blank=True, default="")
    over = models.PositiveIntegerField("more than ordered", default=0)
    lot = models.ForeignKey(
        Lot, on_delete=models.RESTRICT, null=True, blank=True, related_name="delivery_lines"
    )
    over_lot = models.ForeignKey(
        Lot, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    entered_at = models.DateTimeField()
    entered_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )

    class Meta:
        verbose_name = "delivery line"
        verbose_name_plural = "delivery lines"
        ordering = ("delivery", "-pk")
        constraints = [
            models.CheckConstraint(
                condition=Q(quantity__gte=1, quantity__lte=1000),
                name="delivery_line_is_some_tyres",
                violation_error_message="A line is of 1 to 1,000 tyres that read alike.",
            ),
            models.CheckConstraint(
                condition=Q(over__lte=F("quantity")),
                name="delivery_line_is_over_by_no_more_than_it_is",
                violation_error_message="No more of a line can be over than came.",
            ),
            models.CheckConstraint(
                condition=Q(mark_issue="") | ~Q(mark=""),
                name="delivery_line_mark_issue_has_a_mark",
                violation_error_message="A mark issue needs the mark that it is an issue of.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} of {self.sku_id}"
