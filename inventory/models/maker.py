"""Who makes tyres, what they call a tread, and what they mix into it."""

from __future__ import annotations

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Lower
from simple_history.models import HistoricalRecords

from inventory.ground.fields import Line, Words

# A calendar year in which a tyre or a car could have existed.
YEARS = [MinValueValidator(1880), MaxValueValidator(2100)]


class TyreMaker(models.Model):
    """One maker of tyres, as the name stands on the sidewall."""

    code = Line("code", max_length=20, unique=True)
    name = Line("name")
    country = Line("country", blank=True, default="")

    history = HistoricalRecords(related_name="+")

    class Meta:
        verbose_name = "tyre maker"
        verbose_name_plural = "tyre makers"
        ordering = ("name",)
        constraints = [
            models.UniqueConstraint(
                Lower("name"),
                name="tyre_maker_name_is_one",
                violation_error_message="A tyre maker of this name is there already.",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Tread(models.TextChoices):
    SYMMETRIC = "symmetric", "symmetric"
    DIRECTIONAL = "directional", "directional: turns one way"
    ASYMMETRIC = "asymmetric", "asymmetric: has an outside and an inside"


class Shoulder(models.TextChoices):
    ROUNDED = "rounded", "rounded"
    SQUARE = "square", "square"
    UNKNOWN = "", "not known"


class Use(models.TextChoices):
    ROAD = "road", "road"
    ROAD_AND_TRACK = "road_and_track", "road-legal competition"
    COMPETITION = "competition", "competition only"


class Weather(models.TextChoices):
    ANY = "any", "dry and wet"
    DRY = "dry", "dry"
    INTERMEDIATE = "intermediate", "intermediate"
    WET = "wet", "wet"
    WINTER = "winter", "winter"


class Pattern(models.Model):
    """A tread pattern: one maker's design, with the years in which it could be had."""

    maker = models.ForeignKey(TyreMaker, on_delete=models.RESTRICT, related_name="patterns")
    name = Line("name")
    introduced = models.PositiveSmallIntegerField(
        "introduced in", validators=YEARS, null=True, blank=True
    )
    withdrawn = models.PositiveSmallIntegerField(
        "withdrawn in", validators=YEARS, null=True, blank=True
    )
    remade_since = models.PositiveSmallIntegerField(
        "remade since", validators=YEARS, null=True, blank=True
    )
    tread = models.CharField("tread", max_length=12, choices=Tread, default=Tread.SYMMETRIC)
    shoulder = models.CharField(
        "shoulder", max_length=8, choices=Shoulder, blank=True, default=Shoulder.UNKNOWN
    )
    use = models.CharField("use", max_length=16, choices=Use, default=Use.ROAD)
    weather = models.CharField("weather", max_length=12, choices=Weather, default=Weather.ANY)
    note = Words("note", blank=True, default="")

    history = HistoricalRecords(related_name="+")

    class Meta:
        verbose_name = "pattern"
        verbose_name_plural = "patterns"
        ordering = ("maker__name", "name")
        constraints = [
            models.UniqueConstraint(
                "maker",
                Lower("name"),
                name="pattern_name_is_one_per_maker",
                violation_error_message="This maker has a pattern of this name already.",
            ),
            models.CheckConstraint(
                condition=Q(withdrawn__isnull=True)
                | Q(introduced__isnull=True)
                | Q(withdrawn__gte=F("introduced")),
                name="pattern_is_introduced_before_withdrawn",
                violation_error_message="A pattern cannot be withdrawn before it was introduced.",
            ),
            models.CheckConstraint(
                condition=Q(remade_since__isnull=True)
                | Q(introduced__isnull=True)
                | Q(remade_since__gte=F("introduced")),
                name="pattern_is_remade_after_introduced",
                violation_error_message="A pattern cannot be remade before it was introduced.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.maker} {self.name}"


class AxleOnly(models.TextChoices):
    ANY = "", "either axle"
    FRONT = "front", "front axle only"
    REAR = "rear", "rear axle only"


class Compound(models.Model):
    """A rubber mix for competition: one maker's code, its working heat and its axle."""

    maker = models.ForeignKey(TyreMaker, on_delete=models.RESTRICT, related_name="compounds")
    code = Line("code")
    temperature_from_c = models.SmallIntegerField("works from, °C", null=True, blank=True)
    temperature_to_c = models.SmallIntegerField("works to, °C", null=True, blank=True)
    axle_only = models.CharField(
        "axle", max_length=5, choices=AxleOnly, blank=True, default=AxleOnly.ANY
    )
    successor = models.ForeignKey(
        "self", on_delete=models.RESTRICT, null=True, blank=True, related_name="predecessors"
    )
    year = models.PositiveSmallIntegerField("of the year", validators=YEARS, null=True, blank=True)

    history = HistoricalRecords(related_name="+")

    class Meta:
        verbose_name = "compound"
        verbose_name_plural = "compounds"
        ordering = ("maker__name", "code")
        constraints = [
            models.UniqueConstraint(
                "maker",
                Lower("code"),
                name="compound_code_is_one_per_maker",
                violation_error_message="This maker has a compound of this code already.",
            ),
            models.CheckConstraint(
                condition=Q(temperature_from_c__isnull=True, temperature_to_c__isnull=True)
                | Q(temperature_from_c__lt=F("temperature_to_c")),
                name="compound_heat_runs_upwards",
                violation_error_message="Give both temperatures, the lower one first, or neither.",
            ),
            models.CheckConstraint(
                condition=Q(successor__isnull=True) | ~Q(successor=F("pk")),
                name="compound_does_not_follow_itself",
                violation_error_message="A compound cannot be its own successor.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.maker} {self.code}"
