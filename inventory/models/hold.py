"""Tyres that are spoken for: which lots, in which places, for whom, until when."""

from __future__ import annotations

from datetime import datetime

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from inventory.ground.fields import Line, Words
from inventory.models.customer import Customer, CustomerCar
from inventory.models.lot import Block, Lot
from inventory.models.place import Place
from inventory.models.sale import OrderLine


class HoldState(models.TextChoices):
    OPEN = "open", "held"
    RELEASED = "released", "released"
    LAPSED = "lapsed", "lapsed"
    BROKEN = "broken", "broken: the tyres are not to be had"
    SENT = "sent", "sent"


class HoldQuerySet(models.QuerySet["Hold"]):
    def open(self) -> HoldQuerySet:
        """Whose tyres are held in the ledger, lapsed ones that nobody has tidied up among them."""
        return self.filter(state=HoldState.OPEN)

    def standing(self, at: datetime) -> HoldQuerySet:
        """Open, and not lapsed by a moment."""
        return self.open().filter(Q(order_line__isnull=False) | Q(until__gt=at))

    def lapsed(self, at: datetime) -> HoldQuerySet:
        """Open in the ledger still, and free for others from the moment it ran out."""
        return self.open().filter(order_line__isnull=True, until__lte=at)

    def with_names(self) -> HoldQuerySet:
        return self.select_related("customer", "car", "made_by", "ended_by", "order_line")


class Hold(models.Model):
    """One set (or so many pieces) held for one customer until a time, or for an order line.

    For an order line it does not lapse. An order line for three sets has three holds. ``recipe``
    and ``answer`` are what was asked and answered as it stood; only its time, its order line and
    its end are ever changed. ``kept_for``: it is whole axles of a set that somebody waits for, kept
    until the rest of it comes.
    """

    customer = models.ForeignKey(Customer, on_delete=models.RESTRICT, related_name="holds")
    car = models.ForeignKey(
        CustomerCar, on_delete=models.RESTRICT, null=True, blank=True, related_name="holds"
    )
    what = Line("what is held", max_length=240)
    why = Words("why", max_length=500, blank=True, default="")
    recipe = models.JSONField("what was asked for", null=True, blank=True)
    answer = models.JSONField("what was answered, and why", default=dict, blank=True)
    until = models.DateTimeField("until", null=True, blank=True)
    order_line = models.ForeignKey(
        OrderLine, on_delete=models.RESTRICT, null=True, blank=True, related_name="holds"
    )
    kept_for = models.ForeignKey(
        "inventory.PreOrder", on_delete=models.RESTRICT, null=True, blank=True,
        related_name="kept", db_index=False, verbose_name="kept until the rest comes for",
    )  # fmt: skip
    state = models.CharField("state", max_length=8, choices=HoldState, default=HoldState.OPEN)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    ended_why = Line("why it ended", max_length=240, blank=True, default="")

    objects = HoldQuerySet.as_manager()

    class Meta:
        verbose_name = "hold"
        verbose_name_plural = "holds"
        ordering = ("-pk",)
        indexes = [
            # free at t: which open holds have run out?
            models.Index(
                fields=["until"],
                name="hold_runs_out",
                condition=Q(state="open", order_line__isnull=True),
            ),
            models.Index(fields=["customer", "-id"], name="hold_of_customer"),
            models.Index(fields=["made_by", "-id"], name="hold_by_whom"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(order_line__isnull=False) | Q(until__gt=F("made_at")),
                name="hold_ends_some_time",
                violation_error_message=(
                    "A hold runs until a time after it was made, or is for an order line."
                ),
            ),
            models.CheckConstraint(
                condition=Q(state="open", ended_at__isnull=True, ended_by__isnull=True)
                | (~Q(state="open") & Q(ended_at__gte=F("made_at"), ended_by__isnull=False)),
                name="hold_end_has_who_and_when",
                violation_error_message="Say who ended the hold and when.",
            ),
            models.UniqueConstraint(
                fields=["kept_for"],
                condition=Q(state="open", order_line__isnull=True),
                name="hold_is_kept_once_for_who_waits",
                violation_error_message="For whoever waits one hold is kept at a time.",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def number(self) -> str:
        """What it is called at the counter and in the ledger: HO-00012."""
        return f"HO-{self.pk or 0:05}"

    def lapsed_by(self, at: datetime) -> bool:
        """Whether it is open in the ledger and yet free for others at a moment."""
        if self.state != HoldState.OPEN or self.order_line_id is not None or self.until is None:
            return False
        return self.until <= at


class HoldLineQuerySet(models.QuerySet["HoldLine"]):
    def with_blocks(self) -> HoldLineQuerySet:
        """With the lot and the blocks that stand on it, as `blocks_on` reads them."""
        standing = Block.objects.filter(lifted_at__isnull=True).order_by("pk")
        return self.select_related("lot").prefetch_related(
            models.Prefetch("lot__blocks", standing, to_attr="standing_blocks")
        )


def blocks_on(line: HoldLine) -> list[str]:
    """Why the lot of a line (of `with_blocks`) may not leave, in words; empty where it may."""
    blocks: list[Block] = line.lot.standing_blocks  # type: ignore[attr-defined]
    return [block.get_reason_display() for block in blocks]


class HoldLine(models.Model):
    """So many of one lot in one place. Lines of a hold that has ended tell what was held.

    ``for_place`` is the place on the car ("front", "rear", "spare"), "" for companions and pieces.
    ``pinned``: the customer was told the week, so no later allocation moves it.
    """

    hold = models.ForeignKey(Hold, on_delete=models.RESTRICT, related_name="lines")
    lot = models.ForeignKey(Lot, on_delete=models.RESTRICT, related_name="hold_lines")
    place = models.ForeignKey(Place, on_delete=models.RESTRICT, related_name="hold_lines")
    quantity = models.PositiveIntegerField("quantity")
    for_place = Line("place on the car", max_length=20, blank=True, default="")
    pinned = models.BooleanField("pinned", default=False)

    objects = HoldLineQuerySet.as_manager()

    class Meta:
        verbose_name = "hold line"
        verbose_name_plural = "hold lines"
        ordering = ("hold", "pk")
        indexes = [models.Index(fields=["lot", "place"], name="hold_line_balance")]
        constraints = [
            models.UniqueConstraint(
                fields=["hold", "lot", "place", "for_place"],
                name="hold_line_is_one_per_lot_and_place",
                violation_error_message="A hold has one line for each lot, place and axle.",
            ),
            models.CheckConstraint(
                condition=Q(quantity__gte=1, quantity__lte=1_000_000),
                name="hold_line_holds_some",
                violation_error_message="A hold line holds 1 to 1,000,000.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} of {self.lot_id} at {self.place_id}"


class HoldExtension(models.Model):
    """A hold was let run longer: from when to when, why, by whom. Written once.

    Each begins where the one before it ended, and the last ends where the hold does.
    """

    hold = models.ForeignKey(Hold, on_delete=models.RESTRICT, related_name="extensions")
    until_before = models.DateTimeField("until then")
    until_after = models.DateTimeField("until now")
    why = Line("why", max_length=240)
    extended_at = models.DateTimeField()
    extended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )

    class Meta:
        verbose_name = "extension of a hold"
        verbose_name_plural = "extensions of holds"
        ordering = ("hold", "until_before")
        constraints = [
            models.UniqueConstraint(
                fields=["hold", "until_before"],
                name="hold_extension_begins_where_none_did",
                violation_error_message="From that time on the hold was extended already.",
            ),
            models.CheckConstraint(
                condition=Q(until_after__gt=F("until_before"), until_before__gt=F("extended_at")),
                name="hold_extension_is_longer_and_in_time",
                violation_error_message=(
                    "A hold is extended to a later time, before it has run out."
                ),
            ),
            models.CheckConstraint(
                condition=~Q(why=""),
                name="hold_extension_says_why",
                violation_error_message="Say why it is held longer.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.hold_id} until {self.until_after:%d.%m.%Y}"
