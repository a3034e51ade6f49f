"""What the warehouse is asked to fetch for an order, in walking order, and what it fetched."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from inventory.ground.fields import Line
from inventory.models.hold import Hold
from inventory.models.lot import Lot
from inventory.models.place import Place
from inventory.models.sale import Order


class PickListState(models.TextChoices):
    OPEN = "open", "to be picked"
    PICKED = "picked", "picked"
    PACKED = "packed", "packed"
    SENT = "sent", "sent"
    CANCELLED = "cancelled", "cancelled"


class PickListQuerySet(models.QuerySet["PickList"]):
    def under_way(self) -> PickListQuerySet:
        """Neither sent nor cancelled."""
        return self.exclude(state__in=[PickListState.SENT, PickListState.CANCELLED])


class PickList(models.Model):
    """One round through the racks for one order; ``to_place`` is where its tyres are gathered.

    ``word_why`` is the owner's word that they may leave against advice, given about exactly the
    reasons in ``word_about``.
    """

    order = models.ForeignKey(Order, on_delete=models.RESTRICT, related_name="pick_lists")
    to_place = models.ForeignKey(Place, on_delete=models.RESTRICT, related_name="pick_lists")
    state = models.CharField(
        "state", max_length=9, choices=PickListState, default=PickListState.OPEN
    )
    parcels = models.PositiveSmallIntegerField("parcels", null=True, blank=True)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )
    word_at = models.DateTimeField("the owner's word at", null=True, blank=True)
    word_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    word_why = Line("the owner's reason", max_length=240, blank=True, default="")
    word_about = models.JSONField("reasons that the word is about", default=list, blank=True)
    packed_at = models.DateTimeField(null=True, blank=True)
    packed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    ended_why = Line("why it ended", max_length=240, blank=True, default="")

    objects = PickListQuerySet.as_manager()

    class Meta:
        verbose_name = "pick list"
        verbose_name_plural = "pick lists"
        ordering = ("-pk",)
        constraints = [
            models.UniqueConstraint(
                fields=["order"],
                condition=Q(state__in=["open", "picked", "packed"]),
                name="pick_list_is_one_at_a_time",
                violation_error_message="This order is being picked already.",
            ),
            models.CheckConstraint(
                condition=Q(packed_at__isnull=True, packed_by__isnull=True)
                | Q(packed_at__gte=F("made_at"), packed_by__isnull=False),
                name="pick_list_packing_has_who_and_when",
                violation_error_message="Say who packed it and when.",
            ),
            models.CheckConstraint(
                condition=Q(word_at__isnull=True, word_by__isnull=True, word_why="")
                | (Q(word_at__gte=F("made_at"), word_by__isnull=False) & ~Q(word_why="")),
                name="pick_list_word_has_who_when_and_why",
                violation_error_message="The owner's word has who gave it, when and why.",
            ),
            models.CheckConstraint(
                condition=Q(
                    state__in=["open", "picked", "packed"],
                    ended_at__isnull=True,
                    ended_by__isnull=True,
                )
                | Q(
                    state__in=["sent", "cancelled"],
                    ended_at__gte=F("made_at"),
                    ended_by__isnull=False,
                ),
                name="pick_list_end_has_who_and_when",
                violation_error_message="Say who sent or cancelled it and when.",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def number(self) -> str:
        """What it is called on paper and in the ledger: PL-00012."""
        return f"PL-{self.pk or 0:05}"


class Confirmed(models.TextChoices):
    SCAN = "scan", "scanned"
    HAND = "hand", "by hand"


class PickLineState(models.TextChoices):
    OPEN = "open", "to be picked"
    PICKED = "picked", "picked"
    SHORT = "short", "short"
    BACK = "back", "put back"


class PickLine(models.Model):
    """So many of one lot from one place for one hold; ``taken_lot`` where another lot was taken.

    ``taken`` tells what was taken at the time, also of a line that was put back since. A line that
    stands in for what another was short of names it in ``instead_of``.
    """

    pick_list = models.ForeignKey(PickList, on_delete=models.RESTRICT, related_name="lines")
    hold = models.ForeignKey(Hold, on_delete=models.RESTRICT, related_name="pick_lines")
    lot = models.ForeignKey(Lot, on_delete=models.RESTRICT, related_name="+")
    place = models.ForeignKey(Place, on_delete=models.RESTRICT, related_name="+")
    for_place = Line("place on the car", max_length=20, blank=True, default="")
    quantity = models.PositiveIntegerField("quantity")
    state = models.CharField(
        "state", max_length=6, choices=PickLineState, default=PickLineState.OPEN
    )
    instead_of = models.ForeignKey(
        "self", on_delete=models.RESTRICT, null=True, blank=True, related_name="replaced_by"
    )
    taken_lot = models.ForeignKey(
        Lot, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    taken_place = models.ForeignKey(
        Place, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    taken = models.PositiveIntegerField("taken", default=0)
    confirmed = models.CharField(
        "confirmed", max_length=4, choices=Confirmed, blank=True, default=""
    )
    why = Line("why another lot, or why short", max_length=240, blank=True, default="")
    picked_at = models.DateTimeField(null=True, blank=True)
    picked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )

    class Meta:
        verbose_name = "pick line"
        verbose_name_plural = "pick lines"
        ordering = ("pick_list", "place__site__code", "place__walk", "place__code", "pk")
        constraints = [
            models.CheckConstraint(
                condition=Q(quantity__gte=1, quantity__lte=1_000_000, taken__lte=F("quantity")),
                name="pick_line_takes_no_more_than_asked",
                violation_error_message="More were taken than the pick list asks for.",
            ),
            models.CheckConstraint(
                condition=Q(
                    state="open",
                    taken=0,
                    picked_at__isnull=True,
                    picked_by__isnull=True,
                    confirmed="",
                )
                | (
                    ~Q(state="open", confirmed="")
                    & Q(picked_at__isnull=False, picked_by__isnull=False)
                ),
                name="pick_line_has_who_and_when",
                violation_error_message="Say who picked it, when, and how it was confirmed.",
            ),
            models.CheckConstraint(
                condition=Q(taken_lot__isnull=True) | ~Q(why=""),
                name="pick_line_other_lot_says_why",
                violation_error_message="Say why another lot was taken.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} of {self.lot_id} from {self.place_id}"
