"""The demo's storage: a customer's four tyres, kept over the winter."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.contrib.auth.models import User
from django.utils import timezone

from inventory.activities.storing import Brought, take_in
from inventory.models.customer import Customer
from inventory.models.place import Place, PlaceKind
from inventory.models.sku import Sku, SkuKind
from inventory.models.storage import Storage


def storage(*, at: datetime) -> str:
    """Take four tyres in, once; what was done, in words."""
    if Storage.objects.exists():
        return "there already"
    customer = Customer.objects.order_by("pk").first()
    sku = Sku.objects.filter(kind=SkuKind.TYRE).order_by("pk").first()
    place = Place.objects.filter(kind=PlaceKind.STORAGE).order_by("-walk", "pk").first()
    if customer is None or sku is None or place is None:
        return "nothing to keep"
    take_in(
        customer=customer, tyres=[Brought(sku, 4)], place=place, note="For the winter.",
        due_on=timezone.localtime(at).date() + timedelta(days=120),
        by=User.objects.get(username="warehouse"), at=at,
    )  # fmt: skip
    return "four tyres kept for a customer"
