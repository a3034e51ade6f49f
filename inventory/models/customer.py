"""Who asks, and the car they ask for, with the wheels and tyres now on it."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from inventory.ground.fields import Line, Words
from inventory.models.companion import RimKind
from inventory.models.pricing import PriceClass
from inventory.models.sku import Sku


class CustomerKind(models.TextChoices):
    PRIVATE = "private", "private"
    TRADE = "trade", "trade"
    RACING = "racing", "racing"
    MUSEUM = "museum", "museum or collection"


class Customer(models.Model):
    """A person or a firm. Names and numbers stand here only, so that they can be forgotten."""

    kind = models.CharField("kind", max_length=8, choices=CustomerKind, default="private")
    name = Line("name")
    price_class = models.ForeignKey(
        PriceClass, on_delete=models.RESTRICT, null=True, blank=True, related_name="customers"
    )
    email = models.EmailField("e-mail", blank=True, default="")
    telephone = Line("telephone", max_length=40, blank=True, default="")
    address = Words("address", max_length=500, blank=True, default="")
    note = Words("note", blank=True, default="")

    class Meta:
        verbose_name = "customer"
        verbose_name_plural = "customers"
        ordering = ("name", "pk")

    def __str__(self) -> str:
        return self.name


class Axle(models.TextChoices):
    FRONT = "front", "front"
    REAR = "rear", "rear"


class CustomerCar(models.Model):
    """One car of one customer, told in words here; which variant it is, is known a floor higher."""

    customer = models.ForeignKey(Customer, on_delete=models.RESTRICT, related_name="cars")
    description = Line("car")
    plate = Line("registration", max_length=20, blank=True, default="")
    chassis = Line("chassis number", max_length=40, blank=True, default="")
    built_on = models.DateField("built on", null=True, blank=True)

    class Meta:
        verbose_name = "customer's car"
        verbose_name_plural = "customers' cars"
        ordering = ("customer__name", "description", "pk")

    def __str__(self) -> str:
        return self.description


class CarWheel(models.Model):
    """What is on one axle of a customer's car as it stands: the wheel, and the tyre now on it."""

    car = models.ForeignKey(
        CustomerCar,
        on_delete=models.CASCADE,  # a part of the description of the car
        related_name="wheels",
    )
    axle = models.CharField("axle", max_length=5, choices=Axle)
    rim_text = Line("rim diameter", max_length=20)
    rim_mm = models.PositiveSmallIntegerField("rim diameter, mm")
    bead = Line("bead seat", blank=True, default="")
    width_in = models.DecimalField("rim width, in", max_digits=4, decimal_places=2, null=True)
    rim_kind = models.CharField("rim", max_length=8, choices=RimKind, blank=True, default="")
    tubed = models.BooleanField("tubed", null=True)
    tyre = models.ForeignKey(
        Sku, on_delete=models.RESTRICT, null=True, blank=True, related_name="on_cars"
    )
    date_code = Line("date code of the tyre now on it", max_length=20, blank=True, default="")

    class Meta:
        verbose_name = "wheel of a car"
        verbose_name_plural = "wheels of a car"
        ordering = ("car", "axle", "pk")
        constraints = [
            models.UniqueConstraint(
                fields=["car", "axle"],
                name="car_wheel_is_told_once_per_axle",
                violation_error_message="The wheels of this axle are told already.",
            ),
            models.CheckConstraint(
                condition=Q(width_in__isnull=True) | Q(width_in__gt=0),
                name="car_wheel_has_some_width",
                violation_error_message="A rim has some width, or leave it empty.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_axle_display()} {self.rim_text}"
