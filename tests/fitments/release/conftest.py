"""A customer's car of a known variant, tyres that suit it, and sets of them about to leave."""

from __future__ import annotations

import pytest

from fitments.models.car import Variant
from inventory.models.customer import Axle
from inventory.release import LeavingSet, LeavingTyres
from tests.factories.cars import FitmentFactory, IdentifiedCarFactory, VariantFactory
from tests.factories.when import EARLIER


@pytest.fixture
def variant(db) -> Variant:
    """Takes 185/70 R 15 on both axles, on 5 J x 15 disc wheels."""
    made = VariantFactory(with_wheels=True)
    for axle in Axle.values:
        FitmentFactory(variant=made, axle=axle)
    return made


@pytest.fixture
def car(variant):
    """A customer's car that is known to be of that variant."""
    return IdentifiedCarFactory(variant=variant).customer_car


@pytest.fixture
def leaves():
    """A function: two of a lot in front and two behind, sold for a car (or for none)."""

    def of(lot, car=None, *, places=(("front", 2), ("rear", 2)), key=1, at=EARLIER, **answer):
        tyres = tuple(LeavingTyres(lot.sku_id, lot.pk, name, count) for name, count in places)
        number = car.pk if car else None
        return LeavingSet(key, "four tyres", number, tyres, answer, at)

    return of
