"""The measured sale at a small size, so that it cannot rot; how long it takes is not asked here."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest

from inventory.ledger.reconcile import differences
from inventory.models.balance import Balance
from inventory.models.hold import Hold
from inventory.models.sale import Order
from stockist.patrol.selling import CHECKS
from tests.factories.catalogue import SkuFactory
from tests.factories.people import UserFactory
from tests.factories.sending import Shop
from tests.factories.when import AT
from tests.load import selling


@pytest.mark.django_db(transaction=True)
def test_every_sale_is_measured_and_given_up_again(capsys):
    UserFactory()
    shop = Shop()
    for sku in SkuFactory.create_batch(8):
        shop.stock(40, sku=sku)
    threads = lambda: ThreadPoolExecutor(selling.CLIENTS)  # noqa: E731
    assert selling.report(at=AT, seconds=0.4, clients=threads) in (0, 1)
    table = capsys.readouterr().out
    for words in ("| 1 client |", "| 8 clients |", "| 8 clients on one SKU |"):
        assert words in table
    assert Order.objects.count() == Hold.objects.filter(state="released").count() > 3
    assert not Balance.objects.filter(held__gt=0).exists()
    assert differences() == []
    assert [check.look().faults for check in CHECKS] == [()] * len(CHECKS)
