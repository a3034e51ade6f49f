"""The cars: who made them, in which model ranges and variants, and the wheels each could have."""

from __future__ import annotations

from django.contrib.postgres.indexes import GinIndex, OpClass
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Lower, Upper

from inventory.ground.fields import Line, Words
from inventory.models.companion import RimKind
from inventory.models.customer import Axle, CustomerCar


class CarMaker(models.Model):
    """A maker of cars."""

    code = Line("code", max_length=20, unique=True)
    name = Line("name")
    country = Line("country", blank=True, default="")

    class Meta:
        verbose_name = "car maker"
        verbose_name_plural = "car makers"
        ordering = ("name",)
        constraints = [
            models.UniqueConstraint(
                Lower("name"),
                name="car_maker_name_is_one",
                violation_error_message="A car maker of this name is there already.",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class VehicleLine(models.Model):
    """A model range: what a maker's approval speaks of."""

    maker = models.ForeignKey(CarMaker, on_delete=models.RESTRICT, related_name="vehicle_lines")
    code = Line("code", max_length=40, unique=True)
    name = Line("name")

    class Meta:
        verbose_name = "model range"
        verbose_name_plural = "model ranges"
        ordering = ("maker__name", "name")
        constraints = [
            models.UniqueConstraint(
                "maker",
                Lower("name"),
                name="vehicle_line_name_is_one_per_maker",
                violation_error_message="This maker has a model range of this name already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.maker} {self.name}"


class Variant(models.Model):
    """One variant of a range, as built between two days (both inclusive; open where not known).

    ``search`` is what the search box reads: maker, range, name and body, lower case, without
    accents; written by ``activities.cars``.
    """

    vehicle_line = models.ForeignKey(
        VehicleLine, on_delete=models.RESTRICT, related_name="variants"
    )
    code = Line("code", max_length=60, unique=True)
    name = Line("name")
    body = Line("body", max_length=40, blank=True, default="")
    built_from = models.DateField("built from", null=True, blank=True)
    built_to = models.DateField("built to", null=True, blank=True)
    top_speed_kmh = models.PositiveSmallIntegerField(
        "top speed, km/h",
        null=True,
        blank=True,
        validators=[MinValueValidator(10), MaxValueValidator(450)],
    )
    front_axle_kg = models.PositiveSmallIntegerField("front axle load, kg", null=True, blank=True)
    rear_axle_kg = models.PositiveSmallIntegerField("rear axle load, kg", null=True, blank=True)
    front_wheels = models.PositiveSmallIntegerField("wheels on the front axle", default=2)
    rear_wheels = models.PositiveSmallIntegerField("wheels on the rear axle", default=2)
    arch_overall_max_mm = models.PositiveSmallIntegerField(
        "largest overall diameter the arches take, mm", null=True, blank=True
    )
    competition = models.BooleanField("built for competition", default=False)
    racing_scheme = Line("scheme of its racing period", max_length=40, blank=True, default="")
    racing_period = Line("racing period on its papers", max_length=10, blank=True, default="")
    source = Line("source", blank=True, default="")
    note = Words("note", blank=True, default="")
    search = Line("searched as", max_length=300, blank=True, default="", editable=False)

    class Meta:
        verbose_name = "variant"
        verbose_name_plural = "variants"
        ordering = ("vehicle_line__maker__name", "vehicle_line__name", "built_from", "name", "pk")
        indexes = [
            # the search box: parts of words, typed wrong
            GinIndex(OpClass("search", name="gin_trgm_ops"), name="variant_search"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(built_from__isnull=True)
                | Q(built_to__isnull=True)
                | Q(built_from__lte=F("built_to")),
                name="variant_is_built_from_before_to",
                violation_error_message="The first day of building comes before the last.",
            ),
            models.CheckConstraint(
                condition=Q(front_wheels__in=[1, 2, 4], rear_wheels__in=[1, 2, 4]),
                name="variant_has_one_two_or_four_wheels_an_axle",
                violation_error_message="An axle has one, two or four wheels.",
            ),
        ]

    def __str__(self) -> str:
        return " ".join(part for part in (str(self.vehicle_line), self.name, self.body) if part)


class ChassisRange(models.Model):
    """Chassis numbers of a variant: a prefix, and the first and last number behind it."""

    variant = models.ForeignKey(
        Variant,
        on_delete=models.CASCADE,  # a part of the variant's own description
        related_name="chassis_ranges",
    )
    prefix = Line("prefix", max_length=20, blank=True, default="")
    number_from = models.PositiveBigIntegerField("from")
    number_to = models.PositiveBigIntegerField("to")

    class Meta:
        verbose_name = "chassis range"
        verbose_name_plural = "chassis ranges"
        ordering = ("prefix", "number_from")
        indexes = [models.Index(Upper("prefix"), "number_from", name="chassis_range_prefix")]
        constraints = [
            models.CheckConstraint(
                condition=Q(number_from__lte=F("number_to")),
                name="chassis_range_runs_upwards",
                violation_error_message="The first chassis number comes before the last.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.prefix}{self.number_from}-{self.prefix}{self.number_to}"


class WheelOption(models.Model):
    """A wheel that a variant could be had with, one row an axle.

    Rows of one ``name`` belong together. The listed one is ``standard``.
    """

    variant = models.ForeignKey(
        Variant,
        on_delete=models.CASCADE,  # a part of the variant's own description
        related_name="wheel_options",
    )
    name = Line("wheel", max_length=60)
    axle = models.CharField("axle", max_length=5, choices=Axle)
    rim_text = Line("rim diameter", max_length=20)
    rim_mm = models.PositiveSmallIntegerField("rim diameter, mm")
    bead = Line("bead seat", blank=True, default="")
    width_in = models.DecimalField(
        "rim width, in", max_digits=4, decimal_places=2, null=True, blank=True
    )
    rim_kind = models.CharField("rim", max_length=8, choices=RimKind, blank=True, default="")
    tubed = models.BooleanField("tubed", null=True, blank=True)
    standard = models.BooleanField("as listed", default=True)

    class Meta:
        verbose_name = "wheel option"
        verbose_name_plural = "wheel options"
        ordering = ("variant", "-standard", "name", "axle")
        constraints = [
            models.UniqueConstraint(
                fields=["variant", "name", "axle"],
                name="wheel_option_is_one_per_axle",
                violation_error_message="This wheel is told already for this axle.",
            ),
            models.UniqueConstraint(
                fields=["variant", "axle"],
                condition=Q(standard=True),
                name="wheel_option_standard_is_one_per_axle",
                violation_error_message="Only one wheel an axle is the listed one.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name} {self.rim_text} {self.axle}"


class Pressure(models.Model):
    """A pressure that a source states. Shown with its source, never computed."""

    variant = models.ForeignKey(
        Variant,
        on_delete=models.CASCADE,  # a part of the variant's own description
        related_name="pressures",
    )
    axle = models.CharField("axle", max_length=5, choices=Axle)
    size = Line("for size", max_length=60, blank=True, default="")
    condition = Line("when", max_length=60, blank=True, default="")
    kpa = models.PositiveSmallIntegerField("pressure, kPa")
    source = Line("source")

    class Meta:
        verbose_name = "pressure"
        verbose_name_plural = "pressures"
        ordering = ("variant", "axle", "kpa")
        constraints = [
            models.CheckConstraint(
                condition=Q(kpa__gte=50, kpa__lte=700),
                name="pressure_is_that_of_a_car",
                violation_error_message="A car's tyre pressure lies between 50 and 700 kPa.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.axle} {self.kpa} kPa"


class IdentifiedCar(models.Model):
    """Which variant a customer's car is, as somebody found out."""

    customer_car = models.OneToOneField(
        CustomerCar,
        on_delete=models.CASCADE,  # says nothing once the car is forgotten
        related_name="+",
        primary_key=True,
    )
    variant = models.ForeignKey(Variant, on_delete=models.RESTRICT, related_name="identified_cars")

    class Meta:
        verbose_name = "identified car"
        verbose_name_plural = "identified cars"
        ordering = ("pk",)

    def __str__(self) -> str:
        return f"{self.customer_car} is a {self.variant}"
