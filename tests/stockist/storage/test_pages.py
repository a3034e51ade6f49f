"""The pages of customers' tyres, and handing back over the API."""

from __future__ import annotations

import pytest
from django.utils import timezone

from inventory.models.balance import Balance
from inventory.models.storage import Storage
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory
from tests.factories.places import PlaceFactory

pytestmark = pytest.mark.django_db


def test_taken_in_listed_and_handed_back(signed_in, warehouse_person):
    ann = signed_in(warehouse_person)
    customer = CustomerFactory()
    SkuFactory(code="TB-ROAD")
    PlaceFactory(code="A-01")
    said = {f"condition_{number}": "fitted" for number in range(1, 5)}
    said |= {"customer": customer.pk, "due_on": timezone.localdate(), "place": "a-01"}
    said |= {"sku_1": "TB-ROAD", "quantity_1": 4, "idempotency_key": "k1"}
    for _ in range(2):
        answer = ann.post("/storage/new/", said)
        assert answer.status_code == 302, answer.content.decode()[-3000:]
    row = Storage.objects.get()
    assert row.number in ann.get("/storage/").content.decode()
    assert row.number not in ann.get("/storage/?shown=overdue").content.decode()
    assert "A-01" in ann.get(f"/storage/{row.pk}/").content.decode()
    for key, status in (("k2", 302), ("k3", 409)):
        told = {"handed_to": "The owner", "idempotency_key": key}
        assert ann.post(f"/storage/{row.pk}/hand-back/", told).status_code == status
    assert Balance.objects.get().on_hand == 0
