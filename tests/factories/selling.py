"""Price classes, holds, quotes, orders and what follows from them, each in a named situation."""

from __future__ import annotations

from decimal import Decimal

import factory
from factory.django import DjangoModelFactory

from inventory.models.pricing import AgeStep, PriceClass


class PriceClassFactory(DjangoModelFactory):
    class Meta:
        model = PriceClass

    code = factory.Sequence(lambda n: f"TRADE{n}")
    name = factory.Sequence(lambda n: f"trade {n}")
    percent_off = Decimal("12.50")


class AgeStepFactory(DjangoModelFactory):
    class Meta:
        model = AgeStep

    from_months = factory.Sequence(lambda n: 24 + n)
    percent_off = Decimal("10.00")
