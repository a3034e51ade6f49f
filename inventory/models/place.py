"""Where a tyre can be: sites, and the places in them."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.db.models.functions import Upper

from inventory.ground.fields import Line


class SiteKind(models.TextChoices):
    FIXED = "fixed", "fixed"
    MOBILE = "mobile", "mobile"


class Site(models.Model):
    """A building, or a van: anything that holds stock and can be counted."""

    code = Line("code", max_length=12, unique=True)
    name = Line("name")
    kind = models.CharField("kind", max_length=6, choices=SiteKind, default=SiteKind.FIXED)

    class Meta:
        verbose_name = "site"
        verbose_name_plural = "sites"
        ordering = ("code",)

    def __str__(self) -> str:
        return self.name


class PlaceKind(models.TextChoices):
    STORAGE = "storage", "storage"
    GOODS_IN = "goods_in", "goods in"
    QUARANTINE = "quarantine", "quarantine"
    DESPATCH = "despatch", "despatch"
    IN_TRANSIT = "in_transit", "in transit"


class PlaceQuerySet(models.QuerySet["Place"]):
    def to_promise_from(self) -> PlaceQuerySet:
        """Places whose tyres may be promised: racks and what waits to be put away."""
        return self.filter(kind__in=[PlaceKind.STORAGE, PlaceKind.GOODS_IN])


class Place(models.Model):
    """A rack, a bay or a shelf that has a label. ``walk`` is the order in which it is passed."""

    site = models.ForeignKey(Site, on_delete=models.RESTRICT, related_name="places")
    code = Line("code", max_length=20)
    kind = models.CharField("kind", max_length=10, choices=PlaceKind, default=PlaceKind.STORAGE)
    walk = models.PositiveIntegerField("walking order", default=0)
    room = models.PositiveSmallIntegerField("room for, tyres", null=True, blank=True)

    objects = PlaceQuerySet.as_manager()

    class Meta:
        verbose_name = "place"
        verbose_name_plural = "places"
        ordering = ("site__code", "walk", "code")
        constraints = [
            models.UniqueConstraint(
                Upper("code"),
                name="place_code_is_one",
                violation_error_message="A place of this code is there already.",
            ),
            models.CheckConstraint(
                condition=Q(room__isnull=True) | Q(room__gte=1),
                name="place_has_room_for_one",
                violation_error_message="Room is for one tyre or more; leave it empty if unknown.",
            ),
        ]

    def __str__(self) -> str:
        return self.code
