"""The demo's storage: one car's wheels for the winter, and a pair that nobody came for."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.contrib.auth.models import User
from django.db.models import F, Sum
from django.db.models.functions import Coalesce
from django.utils import timezone

from inventory.activities.storing import Brought, take_in
from inventory.models.customer import CustomerCar
from inventory.models.place import Place, PlaceKind
from inventory.models.sku import Sku, SkuKind
from inventory.models.storage import Storage

# How many, taken in so many days ago, due so many days from now, and what is noted.
_KEPT = ((4, 20, 120, "For the winter."), (2, 190, -12, "Said they would come in spring."))


def storage(*, at: datetime) -> str:
    """Take them in, once; what was done, in words."""
    if Storage.objects.exists():
        return "there already"
    cars = CustomerCar.objects.select_related("customer").order_by("pk")[: len(_KEPT)]
    sku = Sku.objects.filter(kind=SkuKind.TYRE).order_by("pk").first()
    place = (
        Place.objects.filter(kind=PlaceKind.STORAGE)
        .exclude(code__startswith="TUBES")
        .annotate(there=Coalesce(Sum("balances__on_hand"), 0))
        .filter(room__gte=F("there") + sum(quantity for quantity, *_ in _KEPT))
        .order_by("-walk")
        .first()
    )
    if sku is None or place is None or len(cars) < len(_KEPT):
        return "nothing to keep"
    by = User.objects.get(username="warehouse")
    for car, (quantity, ago, due_in, note) in zip(cars, _KEPT, strict=True):
        take_in(
            customer=car.customer, car=car, tyres=[Brought(sku, quantity)], place=place, note=note,
            due_on=timezone.localdate(at) + timedelta(days=due_in), by=by,
            at=at - timedelta(days=ago),
        )  # fmt: skip
    return "four tyres kept for a customer, and two that are overdue"
