"""The ledger: what moved, said once and never changed. Written by ``inventory.ledger`` only."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.db.models.functions import Now

from inventory.ground.fields import Line, Words
from inventory.models.lot import Lot
from inventory.models.place import Place


class PostingKind(models.TextChoices):
    OPENING = "opening", "opening stock"
    MOVE = "move", "move"
    CORRECTION = "correction", "correction"
    HOLD = "hold", "hold"
    RELEASE = "release", "release of a hold"
    PICK = "pick", "pick"
    DESPATCH = "despatch", "despatch"
    RETURN = "return", "return"
    RECEIPT = "receipt", "receipt"
    MISSING = "missing", "not found when picking"
    SEND_BACK = "send_back", "sent back to the supplier"
    COUNT = "count", "count"
    WRITE_OFF = "write_off", "write-off"
    WORK = "work", "work on tyres"
    TAKE_IN = "take_in", "taken in to be kept"
    HAND_BACK = "hand_back", "handed back to the customer"
    CONSIGN = "consign", "taken on consignment"
    BUY_IN = "buy_in", "bought in from consignment"
    GIVE_BACK = "give_back", "given back to the consignor"


class Posting(models.Model):
    """One thing that happened to stock: what, by whom, when it was true, when it was written."""

    kind = models.CharField("kind", max_length=12, choices=PostingKind)
    at = models.DateTimeField("true at")
    recorded_at = models.DateTimeField("recorded at", db_default=Now())
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.RESTRICT,
        related_name="+",
        db_index=False,  # nothing asks by whom, and every posting would pay for it
    )
    document = Line("for", max_length=60, blank=True, default="")
    corrects = models.ForeignKey(
        "self",
        on_delete=models.RESTRICT,
        null=True,
        blank=True,
        related_name="corrections",
        db_index=False,
    )
    note = Words("note", max_length=500, blank=True, default="")

    class Meta:
        verbose_name = "posting"
        verbose_name_plural = "postings"
        ordering = ("-pk",)
        indexes = [
            # "what was booked for this document?"
            models.Index(fields=["document"], name="posting_document", condition=~Q(document="")),
            # "was this put right later?": few postings are, and the others need no entry
            models.Index(
                fields=["corrects"],
                name="posting_corrects",
                condition=Q(corrects__isnull=False),
            ),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(corrects__isnull=True) | ~Q(note=""),
                name="posting_correction_says_why",
                violation_error_message="Say why the earlier posting was wrong.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.pk}"


class LedgerLine(models.Model):
    """One ledger line: so many tyres of one lot more, or fewer, in one place."""

    # The posting leads one index below and the lot another: no third and fourth is kept up.
    posting = models.ForeignKey(
        Posting, on_delete=models.RESTRICT, related_name="lines", db_index=False
    )
    lot = models.ForeignKey(Lot, on_delete=models.RESTRICT, related_name="lines", db_index=False)
    place = models.ForeignKey(Place, on_delete=models.RESTRICT, related_name="lines")
    on_hand_change = models.IntegerField(default=0)
    held_change = models.IntegerField(default=0)

    class Meta:
        verbose_name = "ledger line"
        verbose_name_plural = "ledger lines"
        ordering = ("-pk",)
        indexes = [
            # patrol: the sum of one balance's lines
            models.Index(
                fields=["lot", "place"],
                name="ledger_line_balance",
                include=["on_hand_change", "held_change"],
            ),
        ]
        constraints = [
            models.CheckConstraint(
                condition=~Q(on_hand_change=0, held_change=0),
                name="ledger_line_changes_something",
                violation_error_message="A ledger line of nought changes nothing.",
            ),
            models.UniqueConstraint(
                fields=["posting", "lot", "place"],
                name="ledger_line_is_one_per_balance",
                violation_error_message="A posting has one line for each lot and place.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.lot_id} at {self.place_id}: {self.on_hand_change:+d}/{self.held_change:+d}"
