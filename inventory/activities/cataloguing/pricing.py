"""Price classes of customers, and the steps by which older stock costs less."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from typing import TypedDict, Unpack

from django.contrib.auth.models import User

from inventory.ground.entries.register import Register
from inventory.models.pricing import AgeStep, PriceClass

PRICE_CLASSES = Register(PriceClass, key=("code",))
AGE_STEPS = Register(AgeStep, key=("from_months",))


class PriceClassValues(TypedDict, total=False):
    """What can be said of a price class."""

    code: str
    name: str
    percent_off: Decimal


class AgeStepValues(TypedDict, total=False):
    """What can be said of a step: so many per cent off from so many months on."""

    from_months: int
    percent_off: Decimal


def make_price_class(*, by: User, at: datetime, **values: Unpack[PriceClassValues]) -> PriceClass:
    """Enter a price class. Raises Faulty."""
    return PRICE_CLASSES.make(values, by=by, at=at)


def change_price_class(
    *, price_class: PriceClass, by: User, at: datetime, **values: Unpack[PriceClassValues]
) -> PriceClass:
    """Change what is given of a price class. Raises Faulty."""
    return PRICE_CLASSES.change(price_class, values, by=by, at=at)


def make_age_step(*, by: User, at: datetime, **values: Unpack[AgeStepValues]) -> AgeStep:
    """Enter a step for older stock. Raises Faulty."""
    return AGE_STEPS.make(values, by=by, at=at)


def change_age_step(
    *, step: AgeStep, by: User, at: datetime, **values: Unpack[AgeStepValues]
) -> AgeStep:
    """Change what is given of a step for older stock. Raises Faulty."""
    return AGE_STEPS.change(step, values, by=by, at=at)
