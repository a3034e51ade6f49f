"""Which cars does this tyre fit: by listed size, by approval, by period, page by page."""

from __future__ import annotations

from datetime import date

import pytest

from fitments.lookup.cars import cars_for
from fitments.models.car import Variant
from fitments.rules.values import Axle, DaySpan, Market, Outcome, Use
from tests.factories.approvals import ApprovalFactory
from tests.factories.cars import FitmentFactory, VariantFactory
from tests.factories.catalogue import SkuFactory
from tests.factories.when import AT, TODAY

pytestmark = pytest.mark.django_db


def asked(sku, **more):
    question = {"in_force_on": TODAY, "known_on": AT, "use": Use.ROAD, "market": Market.GB}
    return cars_for(sku, **{**question, **more})


def car(code, **fitted):
    variant = VariantFactory(code=code, with_wheels=True)
    FitmentFactory(variant=variant, **fitted)
    return variant


def test_a_car_with_the_size_on_one_axle_is_told_for_that_axle():
    variant = car("A-1", rear=True)
    [fits] = asked(SkuFactory()).fits
    assert (fits.variant, fits.axle, fits.standing) == (variant, Axle.REAR, "fitted when new")


def test_the_same_size_written_otherwise_is_found():
    car("A-1", size_text="165 R 15")
    sku = SkuFactory(size_text="165/80 R 15 87T")
    assert [one.variant.code for one in asked(sku).fits] == ["A-1"]


def test_another_size_is_not():
    car("A-1")
    assert asked(SkuFactory(size_text="195/65 R 15 91H")).fits == ()


def test_each_period_is_told_with_its_own_verdict():
    variant = VariantFactory(with_wheels=True)
    FitmentFactory(variant=variant, built_to=date(1964, 3, 14), least_speed="H")
    FitmentFactory(variant=variant, built_from=date(1965, 1, 1), combination="B")
    found = {fits.built: fits.verdict.outcome for fits in asked(SkuFactory()).fits}
    assert list(found) == [
        DaySpan(date(1962, 3, 1), date(1964, 3, 14)),
        DaySpan(date(1965, 1, 1), date(1966, 8, 31)),
    ]


def test_a_tyre_too_slow_for_the_car_is_told_so():
    variant = VariantFactory(with_wheels=True, top_speed_kmh=230)
    FitmentFactory(variant=variant, least_speed="")
    [fits] = asked(SkuFactory(size_text="185/70 R 15 89S")).fits
    assert fits.verdict.outcome is Outcome.DOES_NOT_SUIT


def test_a_range_that_approves_the_tyre_is_found_without_a_listed_size():
    variant = VariantFactory(with_wheels=True)
    ApprovalFactory(vehicle_line=variant.vehicle_line)
    [fits] = asked(SkuFactory(marked=True)).fits
    assert (fits.variant, fits.standing) == (variant, "approved by the car's maker")
    assert asked(SkuFactory()).fits == ()  # the approval is of tyres with the mark


def test_pages_go_on_where_they_ended_and_end():
    for number in range(5):
        car(f"A-{number}")
    sku = SkuFactory()
    seen, after = [], ""
    while True:
        page = asked(sku, after=after, limit=2)
        seen += [one.variant.code for one in page.fits]
        if page.after is None:
            break
        after = page.after
    assert seen == [f"A-{number}" for number in range(5)]


def test_a_question_can_be_kept_to_some_cars():
    car("A-1")
    other = car("A-2")
    within = Variant.objects.filter(pk=other.pk)
    assert [one.variant for one in asked(SkuFactory(), within=within).fits] == [other]


def test_as_many_queries_for_many_cars_as_for_few(same_queries):
    sku = SkuFactory()
    car("A-0")

    def more():
        for number in range(1, 8):
            variant = car(f"A-{number}")
            ApprovalFactory(vehicle_line=variant.vehicle_line)

    ApprovalFactory(vehicle_line=Variant.objects.get(code="A-0").vehicle_line)
    assert same_queries(lambda: asked(sku), more) == 9
