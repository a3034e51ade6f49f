"""The benchmark of reordering at a small size, so that it cannot rot."""

from __future__ import annotations

import pytest
from django.utils import timezone

from inventory.ledger.reconcile import differences
from inventory.models.alert import Alert
from inventory.models.posting import LedgerLine, PostingKind
from inventory.models.sku import Sku
from tests.load.reorder import reckoned
from tests.load.sold import books

pytestmark = pytest.mark.django_db
SKUS = 120


def test_from_the_tables_to_kept_alerts():
    at = timezone.now()
    books(SKUS, at=at)
    assert Sku.objects.count() == SKUS + 1
    sent = LedgerLine.objects.filter(posting__kind=PostingKind.DESPATCH).count()
    assert sent > 10 * SKUS
    assert differences() == []
    steps = reckoned(at)
    assert [name.split(",")[0] for name in steps] == [
        "read and learnt",
        "projected and told",
        "kept",
    ]
    assert 0 < Alert.objects.standing().count() < SKUS
    count = Alert.objects.count()
    reckoned(at)
    assert Alert.objects.count() == count
