"""The patrol of orders to suppliers, complaints and deliveries."""

from __future__ import annotations

import pytest

from inventory.models.delivery import DeliveryLine
from inventory.models.expected import ExpectedDelivery
from inventory.models.purchase import PurchaseLine
from stockist.patrol.buying import CHECKS
from tests.factories.buying import complaint, sent_order

pytestmark = pytest.mark.django_db


@pytest.fixture
def line():
    """Of an order for ten, two are complained of; all else is in order."""
    return complaint().order_line


def faults():
    return {check.name: check.look().faults for check in CHECKS}


def test_what_the_activities_leave_is_in_order(line):
    sent_order(4)
    assert faults() == {"expected": (), "in doubt": (), "deliveries": ()}


def test_each_fault_is_told(line):
    number, sku = line.order.number, line.sku.code
    ExpectedDelivery.objects.update(quantity=3)
    assert faults()["expected"] == (f"{number}, {sku}: 8 are to come, 3 are expected.",)
    PurchaseLine.objects.update(disputed=1)
    assert faults()["in doubt"] == (f"{number}, {sku}: 1 are in doubt, 2 are complained of.",)
    DeliveryLine.objects.update(quantity=9)
    (told,) = faults()["deliveries"]
    assert told.endswith(": 9 were read, 2 were booked.")
