"""The buying season: its days and money, the events in it, and what will be otherwise next time."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from inventory.ground.fields import Line, Words


class Category(models.TextChoices):
    """What sells by one season: tyres by what they are for, and what goes with tyres."""

    ROAD = "road", "road tyres"
    WINTER = "winter", "winter tyres"
    ROAD_LEGAL = "road_legal", "road-legal competition tyres"
    RACE_DRY = "race_dry", "race tyres for the dry"
    RACE_WET = "race_wet", "race tyres for the wet"
    COMPANIONS = "companions", "tubes, tapes and valves"


class Season(models.Model):
    """What is bought for, until when, with how much money, and how sure the house wants to be.

    ``service`` is the chance in per cent with which stock is to last until the next order but one;
    ``review_days`` lie between two orders. What is left after ``last_day`` lies till next year.
    """

    name = Line("name", max_length=60)
    first_day = models.DateField("from")
    last_day = models.DateField("to")
    budget = models.DecimalField(
        "money to buy with", max_digits=11, decimal_places=2, null=True, blank=True
    )
    currency = Line("currency", max_length=3, default="GBP")
    service = models.PositiveSmallIntegerField("enough with a chance of, per cent", default=95)
    review_days = models.PositiveSmallIntegerField("days from order to order", default=28)
    note = Words("note", max_length=500, blank=True, default="")

    history = HistoricalRecords(related_name="+")

    class Meta:
        verbose_name = "season"
        verbose_name_plural = "seasons"
        ordering = ("-last_day", "pk")
        constraints = [
            models.UniqueConstraint(
                fields=["name"],
                name="season_name_is_one",
                violation_error_message="A season of this name is there already.",
            ),
            models.CheckConstraint(
                condition=Q(last_day__gt=F("first_day")),
                name="season_ends_after_it_begins",
                violation_error_message="A season ends after the day on which it begins.",
            ),
            models.CheckConstraint(
                condition=Q(budget__isnull=True) | Q(budget__gte=0),
                name="season_budget_is_not_negative",
                violation_error_message="The money to buy with is nought or more, or left empty.",
            ),
            models.CheckConstraint(
                condition=Q(service__gte=50, service__lte=99),
                name="season_service_is_a_chance",
                violation_error_message="Enough with a chance of 50 to 99 per cent.",
            ),
            models.CheckConstraint(
                condition=Q(review_days__gte=1, review_days__lte=366),
                name="season_review_is_some_days",
                violation_error_message="From order to order it is 1 to 366 days.",
            ),
            models.CheckConstraint(
                condition=Q(currency__regex=r"^[A-Z]{3}$"),
                name="season_currency_is_a_code",
                violation_error_message="A currency is three capital letters, such as GBP.",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Event(models.Model):
    """A meeting, a rally, a show: when it is, and which tyres it sells.

    An event that takes place every year is in the history already and moves nothing by itself;
    what will be otherwise is a ``SeasonChange``.
    """

    name = Line("event")
    where = Line("where", blank=True, default="")
    first_day = models.DateField("from")
    last_day = models.DateField("to")
    category = models.CharField("sells", max_length=12, choices=Category)
    note = Words("note", max_length=500, blank=True, default="")

    history = HistoricalRecords(related_name="+")

    class Meta:
        verbose_name = "event"
        verbose_name_plural = "events"
        ordering = ("first_day", "name", "pk")
        constraints = [
            models.UniqueConstraint(
                fields=["name", "first_day", "category"],
                name="event_is_one_per_day_and_category",
                violation_error_message="This event is on that day for these tyres already.",
            ),
            models.CheckConstraint(
                condition=Q(last_day__gte=F("first_day")),
                name="event_ends_no_earlier_than_it_begins",
                violation_error_message="An event ends on the day on which it begins, or later.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name}, {self.first_day:%d.%m.%Y}"


class SeasonChangeQuerySet(models.QuerySet["SeasonChange"]):
    def standing(self) -> SeasonChangeQuerySet:
        """What has not been taken back."""
        return self.filter(withdrawn_at__isnull=True)


class SeasonChange(models.Model):
    """What the buyer knows of next season and history does not: so many per cent more, and why.

    Written once; taken back, never edited away.
    """

    category = models.CharField("tyres", max_length=12, choices=Category)
    first_day = models.DateField("from")
    last_day = models.DateField("to")
    percent = models.SmallIntegerField("per cent more, or fewer")
    why = Line("why", max_length=240)
    event = models.ForeignKey(
        Event, on_delete=models.RESTRICT, null=True, blank=True, related_name="changes"
    )
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    withdrawn_why = Line("why taken back", max_length=240, blank=True, default="")

    objects = SeasonChangeQuerySet.as_manager()

    class Meta:
        verbose_name = "change of a season"
        verbose_name_plural = "changes of a season"
        ordering = ("first_day", "pk")
        constraints = [
            models.CheckConstraint(
                condition=Q(last_day__gte=F("first_day")),
                name="season_change_ends_no_earlier_than_it_begins",
                violation_error_message="A change ends on the day on which it begins, or later.",
            ),
            models.CheckConstraint(
                condition=Q(percent__gte=-100, percent__lte=400) & ~Q(percent=0),
                name="season_change_changes_something",
                violation_error_message=(
                    "A change is of 100 per cent fewer to 400 per cent more, and not of nought."
                ),
            ),
            models.CheckConstraint(
                condition=~Q(why=""),
                name="season_change_says_why",
                violation_error_message="Say why the next season will be otherwise.",
            ),
            models.CheckConstraint(
                condition=Q(withdrawn_at__isnull=True, withdrawn_by__isnull=True, withdrawn_why="")
                | (
                    Q(withdrawn_at__gte=F("made_at"), withdrawn_by__isnull=False)
                    & ~Q(withdrawn_why="")
                ),
                name="season_change_end_has_who_when_and_why",
                violation_error_message="Say who took the change back, when and why.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_category_display()} {self.percent:+d} %"

    @property
    def factor(self) -> float:
        """What demand is multiplied with."""
        return 1 + self.percent / 100
