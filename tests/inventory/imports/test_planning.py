"""The sheets of the buyer: earlier sales by month, pairs, seasons, events."""

from __future__ import annotations

from datetime import date

import pytest

from inventory.ground.sheets.loading import load
from inventory.ground.sheets.problems import SheetRefused
from inventory.ground.sheets.registry import sheet_named
from inventory.ground.sheets.shifting import Shift
from inventory.models.earlier_sales import EarlierSales
from inventory.models.season import Event, Season
from inventory.models.sku_pair import SkuPair
from tests.factories.catalogue import SkuFactory
from tests.factories.people import UserFactory
from tests.factories.when import AT
from tests.ground.sheet_files import csv_file

pytestmark = pytest.mark.django_db
MONTHS = ["SKU", "month", "sold less returned", "asked for in vain", "days without"]
MONTHS += ["from which books"]


def loaded(name, *rows, **more):
    return load(sheet_named(name), csv_file(*rows), by=UserFactory(), at=AT, **more)


def test_months_are_entered_and_put_right():
    SkuFactory(code="T-1")
    loaded("sales-history", MONTHS, ["T-1", "2026-03", "-2", "1", "", "till"])
    row = EarlierSales.objects.get()
    assert (row.month, row.sold, row.asked_in_vain, row.days_without) == (
        date(2026, 3, 1),
        -2,
        1,
        0,
    )
    told = loaded("sales-history", MONTHS, ["T-1", "2026-03-01", "4", "1", "", "till"])
    assert (told.new, told.changed) == (0, 1)


@pytest.mark.parametrize("month", ["2026-13", "March 2026", "2026-03-02", "26-03", "0000-01"])
def test_a_month_is_a_month(month):
    SkuFactory(code="T-1")
    with pytest.raises(SheetRefused) as refused:
        loaded("sales-history", MONTHS, ["T-1", month, "4", "", "", "till"])
    assert "2026-03" in str(refused.value.shown[0])


def test_a_month_moves_by_whole_years_so_that_seasons_stay():
    SkuFactory(code="T-1")
    row = ["T-1", "2024-02", "4", "", "", "till"]
    loaded("sales-history", MONTHS, row, shift=Shift(weeks=55, years=1))
    assert EarlierSales.objects.get().month == date(2025, 2, 1)


def test_a_front_with_its_rear():
    SkuFactory(code="F-1")
    SkuFactory(code="R-1")
    headings = ["front", "rear", "in sets per cent", "who says so"]
    loaded("sku-pairs", headings, ["F-1", "R-1", "75", "orders"])
    pair = SkuPair.objects.get()
    assert (pair.front.code, pair.rear.code, pair.in_sets) == ("F-1", "R-1", 75)
    with pytest.raises(SheetRefused):
        loaded("sku-pairs", headings, ["F-1", "F-1", "75", "orders"])


def test_a_season_and_an_event():
    headings = ["season", "from", "to", "money", "chance per cent"]
    loaded("seasons", headings, ["2027", "2026-11-01", "2027-09-30", "9000", "90"])
    season = Season.objects.get()
    assert (season.service, season.review_days, season.currency) == (90, 28, "GBP")
    with pytest.raises(SheetRefused, match="wrong") as refused:
        loaded("seasons", headings, ["2028", "2026-11-01", "2026-09-30", "9000", "90"])
    assert "ends after" in str(refused.value.shown[0])
    headings = ["event", "from", "to", "sells"]
    loaded("events", headings, ["Spring run", "2027-04-10", "2027-04-11", "race tyres for the wet"])
    assert Event.objects.get().category == "race_wet"
