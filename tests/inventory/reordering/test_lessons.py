"""What a night keeps is enough to say of one SKU alone what the night says of it among all."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from inventory import reordering
from inventory.activities import learning
from inventory.ground.jobs.kinds import Work
from inventory.models.learnt import Learnt
from inventory.planning import cover
from inventory.reordering.demand import with_its_size
from inventory.reordering.lessons import kept_of, latest, recalled
from inventory.tasks import reorder_alerts
from tests.factories.buying import (
    ExpectedDeliveryFactory,
    PriceBreakFactory,
    ProductionBatchFactory,
    SupplierTermsFactory,
)
from tests.factories.catalogue import PatternFactory, SkuFactory
from tests.factories.planning import EarlierSalesFactory, SeasonFactory
from tests.factories.stock import EnquiryFactory, LotFactory, stock_in
from tests.support.traded import Shop

pytestmark = pytest.mark.django_db
AT = datetime(2027, 1, 12, 8, 0, tzinfo=UTC)
SIZES = ("185/70 R 15", "165 R 400", "185/70 R 15", "6.40/6.50-13")


@pytest.fixture
def house():
    """Twelve SKUs of three patterns and two sizes, quick and slow, with empty shelves between."""
    rng = np.random.default_rng(8)
    patterns = [PatternFactory(use=use) for use in ("road", "competition", "road_and_track")]
    skus = []
    for n in range(12):
        pattern = patterns[n % 3]
        sku = SkuFactory(pattern=pattern, maker=pattern.maker, size_text=SIZES[n % 4])
        skus.append(sku)
        for month in range(30):
            year, of_year = divmod(2026 * 12 + 4 - month, 12)
            sold = int(rng.poisson((1 + n % 5) * (1.8 if of_year in (3, 4, 5) else 0.6)))
            EarlierSalesFactory(
                sku=sku, month=date(year, of_year + 1, 1), sold=sold, days_without=n
            )
        terms = SupplierTermsFactory(sku=sku, lead_time_days=14 * (1 + n % 4))
        PriceBreakFactory(terms=terms)
        if n % 3 == 0:
            ProductionBatchFactory(supplier=terms.supplier)
            ExpectedDeliveryFactory(sku=sku, expected_on=AT.date() + timedelta(days=40))
        shop = Shop(sku)
        shop.came(4 + n, date(2026, 6, 10))
        shop.sent(2 + n % 3, date(2026, 7, 1 + n))
        stock_in(lot=LotFactory(sku=sku), on_hand=1)
    for n in range(6):
        asked = datetime(2026, 3, 1 + n, 12, tzinfo=UTC)
        EnquiryFactory(sku=None, size=SIZES[n % 2], pieces=1 + n, asked_at=asked)
        EnquiryFactory(sku=skus[n], pieces=2, asked_at=asked)
    EarlierSalesFactory(sku=SkuFactory(tube_kind=True), month=date(2026, 1, 1), sold=9)
    SeasonFactory()
    return skus


def look(**more):
    return reordering.outlook(at=AT, limit_months=72, **more)


def numbers(found, sku):
    rows = found.known.rows(np.array([sku.pk]))
    row, service = int(rows[0]), found.situation.house.service
    projected = cover(found.situation.position, service=service, rows=rows)
    forecast = found.learned.forecast
    return (
        *(float(each[0]) for each in (projected.mean, projected.level, projected.need)),
        *(float(each[0]) for each in (projected.chance, projected.first_risk)),
        *(float(each[row]) for each in (forecast.rate, forecast.phi, forecast.own)),
    )


def test_one_alone_is_told_as_among_all(house):
    found = look()
    kept = json.loads(json.dumps(kept_of(found.known, found.learned)))
    taught = recalled(kept)
    assert len(set(found.learned.seasons.index.round(3).ravel().tolist())) > 12
    for sku in house:
        alone = look(only=with_its_size(sku), taught=taught)
        assert alone.known.count < found.known.count
        assert numbers(alone, sku) == pytest.approx(numbers(found, sku), rel=1e-12)


def test_without_lessons_one_alone_teaches_something_else(house):
    found = look()
    alone = look(only=[house[0].pk])
    assert numbers(alone, house[0]) != pytest.approx(numbers(found, house[0]), rel=1e-3)


def test_the_night_keeps_it_with_what_it_was_learnt_from(house):
    reorder_alerts(Work(0, "tonight", {}, None, AT), None)
    row = latest()
    assert (row.learnt_at, row.skus, row.last_day) == (AT, 13, date(2026, 12, 31))
    assert row.pieces > 100
    assert sum(one["units"] for one in row.told["seasons"].values()) > 0
    # The same night a second time is one row, the next night another, and the latest is told.
    found = look()
    learning.keep_learnt(found=found, at=AT)
    assert Learnt.objects.count() == 1
    learning.keep_learnt(found=found, at=AT + timedelta(days=1))
    assert latest().learnt_at == AT + timedelta(days=1)


def test_a_range_that_is_new_starts_from_the_mean_of_all(house):
    found = look()
    taught = recalled(kept_of(found.known, found.learned))
    new = SkuFactory(pattern=PatternFactory())
    alone = look(only=[new.pk], taught=taught)
    assert alone.learned.forecast.rate[0] == pytest.approx(taught.every)


def test_nothing_in_the_house_is_kept_too():
    found = look()
    row = learning.keep_learnt(found=found, at=AT)
    assert recalled(row.told).every == 0
    assert (row.skus, row.pieces) == (0, 0)
