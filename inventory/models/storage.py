"""Customers' own tyres that are kept for them, until a day, and to whom they were handed back."""

from __future__ import annotations

from datetime import date

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from inventory.ground.fields import Line, Words
from inventory.models.customer import Customer, CustomerCar
from inventory.models.lot import Lot


class StorageQuerySet(models.QuerySet["Storage"]):
    def kept(self) -> StorageQuerySet:
        """Those that were not handed back."""
        return self.filter(ended_at__isnull=True)

    def overdue(self, today: date) -> StorageQuerySet:
        """Those that are kept and were due back before this day."""
        return self.kept().filter(due_on__lt=today)


class Storage(models.Model):
    """Tyres of one customer, taken in together and handed back together."""

    customer = models.ForeignKey(Customer, on_delete=models.RESTRICT, related_name="storages")
    car = models.ForeignKey(
        CustomerCar, on_delete=models.RESTRICT, null=True, blank=True, related_name="storages"
    )
    due_on = models.DateField("due back on")
    note = Words("note", max_length=500, blank=True, default="")
    taken_in_at = models.DateTimeField()
    taken_in_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, null=True, blank=True, related_name="+"
    )
    handed_to = Line("handed to", max_length=120, blank=True, default="")

    objects = StorageQuerySet.as_manager()

    class Meta:
        verbose_name = "storage"
        verbose_name_plural = "storages"
        ordering = ("due_on", "pk")
        indexes = [
            # what is kept, the first due first
            models.Index(
                fields=["due_on"], name="storage_kept_until", condition=Q(ended_at__isnull=True)
            ),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(ended_at__isnull=True, ended_by__isnull=True, handed_to="")
                | (Q(ended_at__gte=F("taken_in_at"), ended_by__isnull=False) & ~Q(handed_to="")),
                name="storage_end_has_who_when_and_to_whom",
                violation_error_message="Say to whom the tyres were handed, when and by whom.",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def number(self) -> str:
        """What it is called on paper: K-00012."""
        return f"K-{self.pk or 0:05}"


class StorageExtension(models.Model):
    """Tyres are kept longer than was said: until when, why, by whom. Written once.

    Each begins where the one before it ended, and the last ends where the storage does.
    """

    storage = models.ForeignKey(Storage, on_delete=models.RESTRICT, related_name="extensions")
    due_before = models.DateField("due until then")
    due_after = models.DateField("due now")
    why = Line("why", max_length=240)
    extended_at = models.DateTimeField()
    extended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.RESTRICT, related_name="+"
    )

    class Meta:
        verbose_name = "extension of a storage"
        verbose_name_plural = "extensions of storages"
        ordering = ("storage", "due_before")
        constraints = [
            models.UniqueConstraint(
                fields=["storage", "due_before"],
                name="storage_extension_begins_where_none_did",
                violation_error_message="From that day on it was extended already.",
            ),
            models.CheckConstraint(
                condition=Q(due_after__gt=F("due_before")),
                name="storage_extension_is_longer",
                violation_error_message="Tyres are kept longer until a later day.",
            ),
            models.CheckConstraint(
                condition=~Q(why=""),
                name="storage_extension_says_why",
                violation_error_message="Say why they are kept longer.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.storage} until {self.due_after:%d.%m.%Y}"


class StoredLot(models.Model):
    """One lot that was taken in: it belongs to the customer, which the database sees to."""

    storage = models.ForeignKey(Storage, on_delete=models.RESTRICT, related_name="lots")
    lot = models.OneToOneField(Lot, on_delete=models.RESTRICT, related_name="stored")
    quantity = models.PositiveIntegerField("tyres taken in")

    class Meta:
        verbose_name = "stored lot"
        verbose_name_plural = "stored lots"
        ordering = ("pk",)
        constraints = [
            models.CheckConstraint(
                condition=Q(quantity__gte=1),
                name="stored_lot_is_of_some",
                violation_error_message="One tyre or more is taken in.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} x {self.lot}"


def storage_of(lot: Lot) -> Storage | None:
    """The storage whose tyres are in this lot, or were made into it while they are kept."""
    at: Lot | None = lot
    while at is not None and at.owner_customer_id is not None:
        found = Storage.objects.filter(lots__lot=at).first()
        if found is not None:
            return found
        at = at.made_from
    return None
