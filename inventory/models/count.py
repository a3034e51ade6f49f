"""Counts of what lies in a place, or of all that lies of a SKU at a site."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from inventory.ground.fields import Line
from inventory.models.lot import Lot
from inventory.models.place import Place, Site
from inventory.models.posting import Posting
from inventory.models.sku import Sku


class CountState(models.TextChoices):
    COUNTING = "counting", "being counted"
    AGAIN = "again", "to be counted again"
    TO_POST = "to_post", "to be posted by another person"
    POSTED = "posted", "posted"
    GIVEN_UP = "given_up", "given up"


OPEN = (CountState.COUNTING, CountState.AGAIN, CountState.TO_POST)


class CountQuerySet(models.QuerySet["Count"]):
    def open(self) -> CountQuerySet:
        """Counts that are not at their end."""
        return self.filter(state__in=OPEN)

    def with_names(self) -> CountQuerySet:
        return self.select_related("site", "place", "sku", "started_by", "at_work_by", "ended_by")


class Count(models.Model):
    """One count, blind: what the ledger says is not shown to whoever counts.

    ``again`` is true from the second round on, in which only what disagreed is counted.
    ``self_checked``: whoever counted has posted it too, in a team too small for another.
    ``alone_up_to``: so many tyres too many and too few one person posted on the day on which it was
    handed in.
    """

    site = models.ForeignKey(Site, on_delete=models.RESTRICT, related_name="+")
    place = models.ForeignKey(
        Place, on_delete=models.RESTRICT, null=True, blank=True, related_name="counts"
    )
    sku = models.ForeignKey(
        Sku, on_delete=models.RESTRICT, null=True, blank=True, related_name="counts"
    )
    state = models.CharField("state", max_length=8, choices=CountState, default=CountState.COUNTING)
    self_checked = models.BooleanField("self-checked", default=False)
    alone_up_to = models.PositiveIntegerField("one person posts up to", null=True, blank=True)
    started_at = models.DateTimeField()
    started_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )
    at_work_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )
    at_work_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    ended_why = Line("why it ended", max_length=240, blank=True, default="")
    posting = models.OneToOneField(
        Posting, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )

    objects = CountQuerySet.as_manager()

    class Meta:
        verbose_name = "count"
        verbose_name_plural = "counts"
        ordering = ("-pk",)
        constraints = [
            models.CheckConstraint(
                condition=Q(place__isnull=False, sku__isnull=True)
                | Q(place__isnull=True, sku__isnull=False),
                name="count_is_of_a_place_or_of_a_sku",
                violation_error_message="A count is of one place, or of one SKU at a site.",
            ),
            models.UniqueConstraint(
                fields=["place"],
                condition=Q(state__in=OPEN),
                name="count_of_a_place_is_one",
                violation_error_message="This place is being counted already.",
            ),
            models.UniqueConstraint(
                fields=["site", "sku"],
                condition=Q(state__in=OPEN),
                name="count_of_a_sku_is_one",
                violation_error_message="This SKU is being counted at this site already.",
            ),
            models.CheckConstraint(
                condition=Q(state__in=OPEN, ended_at__isnull=True, ended_by__isnull=True)
                | Q(
                    state__in=[CountState.POSTED, CountState.GIVEN_UP],
                    ended_at__gte=F("started_at"),
                    ended_by__isnull=False,
                ),
                name="count_end_has_who_and_when",
                violation_error_message="Say who ended the count and when.",
            ),
            models.CheckConstraint(
                condition=~Q(state=CountState.GIVEN_UP) | ~Q(ended_why=""),
                name="count_given_up_says_why",
                violation_error_message="Say why the count is given up.",
            ),
            models.CheckConstraint(
                condition=Q(posting__isnull=True) | Q(state=CountState.POSTED),
                name="count_is_posted_at_its_end",
                violation_error_message="Only a count that is posted has a posting.",
            ),
            models.CheckConstraint(
                condition=~Q(state__in=[CountState.TO_POST, CountState.POSTED])
                | Q(alone_up_to__isnull=False),
                name="count_is_judged_by_the_limit_of_its_day",
                violation_error_message=(
                    "A count that was handed in says how many tyres one person posts."
                ),
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def number(self) -> str:
        """What it is called on paper: C-00012."""
        return f"C-{self.pk or 0:05}"


class CountLine(models.Model):
    """What was counted of a lot in a place in one round, and what the ledger said just then.

    What moves after that moment moves in the ledger as it does in the racks: the difference stays.
    """

    count = models.ForeignKey(
        Count,
        on_delete=models.CASCADE,  # a part of the count
        related_name="lines",
    )
    lot = models.ForeignKey(Lot, on_delete=models.RESTRICT, related_name="count_lines")
    place = models.ForeignKey(Place, on_delete=models.RESTRICT, related_name="+")
    again = models.BooleanField("in the second round", default=False)
    counted = models.PositiveIntegerField("counted")
    ledger_said = models.PositiveIntegerField("the ledger said")
    counted_at = models.DateTimeField()
    counted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )

    class Meta:
        verbose_name = "count line"
        verbose_name_plural = "count lines"
        ordering = ("count", "pk")
        constraints = [
            models.UniqueConstraint(
                fields=["count", "lot", "place", "again"],
                name="count_line_is_one_per_lot_and_place",
                violation_error_message="A count has one line a round for each lot and place.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.counted} of {self.lot_id} in {self.place_id}"

    @property
    def off(self) -> int:
        """Tyres more (or fewer) than the ledger said."""
        return self.counted - self.ledger_said
