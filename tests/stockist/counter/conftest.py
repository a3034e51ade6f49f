"""A car with one fitted size, and tyres on the shelf for it."""

from __future__ import annotations

import pytest

from tests.factories.approvals import ApprovalFactory, EvidenceFactory
from tests.factories.cars import FitmentFactory, PressureFactory, VariantFactory
from tests.factories.catalogue import PatternFactory, SkuFactory, TypeApprovalFactory
from tests.factories.stock import stock_in
from tests.factories.when import TODAY


@pytest.fixture
def car(db):
    variant = VariantFactory(
        code="HAL-1600", with_wheels=True, search="hallmere sprint 1600 saloon"
    )
    FitmentFactory(variant=variant)
    FitmentFactory(variant=variant, rear=True)
    PressureFactory(variant=variant)
    PressureFactory(variant=variant, axle="rear")
    return variant


@pytest.fixture
def pattern(db):
    return PatternFactory(name="Cairnway", maker__name="Tarnbeck", introduced=1961)


@pytest.fixture
def sku(pattern):
    found = SkuFactory(code="TB-CAIRN", pattern=pattern, maker=pattern.maker)
    TypeApprovalFactory(sku=found)
    return found


@pytest.fixture
def set_on_shelf(sku):
    """Four of one week, and one eighty weeks younger that goes with none."""
    stock_in(on_hand=4, sku=sku, date_code="1425")
    return stock_in(on_hand=1, sku=sku, date_code="4426", received_on=TODAY)


@pytest.fixture
def approved(car):
    evidence = EvidenceFactory(checked=True, reference="Bulletin 63/14")
    rows = []
    for axle in ("front", "rear"):
        rows.append(
            ApprovalFactory(
                vehicle_line=car.vehicle_line,
                axle=axle,
                listed=True,
                version__evidence=[evidence],
            )
        )
    return rows
