"""A car with one fitted size, two sets of its tyre on the shelf, and a browser at the counter."""

from __future__ import annotations

import re
from datetime import timedelta
from html import unescape

import pytest
from django.utils import timezone

from inventory.models.place import PlaceKind
from tests.factories.cars import FitmentFactory, VariantFactory
from tests.factories.catalogue import SkuFactory, TypeApprovalFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.stock import stock_in


def body(answer, status=200):
    assert answer.status_code == status, answer.content.decode()[:3000]
    return unescape(answer.content.decode())


def day(days: int) -> str:
    return (timezone.localdate() + timedelta(days=days)).isoformat()


def hidden(page: str, name: str, nth: int = 0) -> str:
    """The value of a hidden field on a page."""
    return re.findall(rf'name="{name}" value="([^"]*)"', page)[nth]


@pytest.fixture
def counter(signed_in):
    return signed_in("counter")


@pytest.fixture
def site(db):
    site = SiteFactory(code="FEN", name="Mill Lane")
    PlaceFactory(site=site, code="OUT-1", kind=PlaceKind.DESPATCH)
    return site


@pytest.fixture
def car(db):
    variant = VariantFactory(code="HAL-1600", with_wheels=True, search="hallmere sprint 1600")
    FitmentFactory(variant=variant)
    FitmentFactory(variant=variant, rear=True)
    return variant


@pytest.fixture
def sku(db):
    found = SkuFactory(code="TB-CAIRN")
    TypeApprovalFactory(sku=found)
    return found


@pytest.fixture
def shelf(sku, site):
    """Nine of one week in a rack of the site."""
    rack = PlaceFactory(site=site, code="A-01")
    return stock_in(on_hand=9, sku=sku, date_code="1425", place=rack)


ANSWER = "/counter/cars/HAL-1600/?built=1964-06"


@pytest.fixture
def said(counter, car, shelf):
    """What the form of the first offer carries: the question, the offer, the lots that it names."""
    page = body(counter.get(ANSWER))
    return {name: hidden(page, name) for name in ("asked", "offer", "shown")}
