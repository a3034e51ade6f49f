"""Every kind of sheet, by name."""

from __future__ import annotations

import pytest

from inventory.ground.sheets.headings import plain
from inventory.ground.sheets.registry import NoSuchSheet, every_sheet, sheet_named
from inventory.ground.sheets.sheet import Sheet

NAMES = [
    "tyre-makers",
    "patterns",
    "compounds",
    "skus",
    "companions",
    "suppliers",
    "sites",
    "places",
    "customers",
    "customer-cars",
    "opening-stock",
    "supplier-terms",
    "production-batches",
    "purchase-orders",
    "sku-pairs",
    "sales-history",
    "seasons",
    "events",
    "car-makers",
    "model-ranges",
    "variants",
    "wheels",
    "pressures",
    "fitments",
    "identified-cars",
    "organisers",
    "classes",
    "evidence",
    "approvals",
    "marks",
    "test-results",
]
SHEETS = [pytest.param(sheet, id=sheet.name) for sheet in every_sheet().values()]


def test_all_of_them_in_the_order_in_which_they_build_on_one_another():
    assert list(every_sheet()) == NAMES


def test_one_by_its_name():
    assert sheet_named("skus").title == "SKUs"


@pytest.mark.parametrize(("name", "near"), [("sku", "skus"), ("tyre makers", "tyre-makers")])
def test_no_such_sheet_names_the_nearest(name, near):
    with pytest.raises(NoSuchSheet, match=f"no sheet called “{name}”. Did you mean {near}?"):
        sheet_named(name)


def test_a_name_like_no_other_gets_the_list():
    with pytest.raises(NoSuchSheet, match="Known are: tyre-makers, patterns"):
        sheet_named("zzz" * 100)


@pytest.mark.parametrize("sheet", SHEETS)
def test_a_sheet_is_whole(sheet: Sheet):
    headings = [plain(column.heading) for column in sheet.columns]
    names = [column.name for column in sheet.columns]
    assert len(set(headings)) == len(headings)
    assert len(set(names)) == len(names)
    assert set(sheet.key) <= set(names)
    assert sheet.title
    assert any(column.required for column in sheet.columns)
    assert len(sheet.name) <= 31  # a worksheet has no longer name


@pytest.mark.parametrize("sheet", SHEETS)
def test_every_example_can_be_read_and_every_needed_column_has_one(sheet: Sheet):
    for column in sheet.columns:
        if column.example:
            column.read(column.example)
        assert column.example or not column.required, column.heading


@pytest.mark.parametrize("sheet", SHEETS)
def test_every_column_says_what_is_wanted_in_few_words(sheet: Sheet):
    for column in sheet.columns:
        assert len(column.wanted) < 140


def test_stock_and_orders_are_booked_once_and_the_others_as_often_as_sent():
    once = [sheet.name for sheet in every_sheet().values() if sheet.once]
    assert once == ["opening-stock", "purchase-orders"]


def test_what_moves_with_the_calendar_of_the_demo():
    moved = {
        f"{sheet.name}: {column.heading}"
        for sheet in every_sheet().values()
        for column in sheet.columns
        if column.shift
    }
    assert moved == {
        "skus: expected on",
        "opening-stock: received on",
        "production-batches: order by",
        "production-batches: expected on",
        "purchase-orders: expected on",
        "sales-history: month",
        "seasons: from",
        "seasons: to",
        "events: from",
        "events: to",
        "classes: season",
        "evidence: checked on",
        "evidence: due on",
        "approvals: withdrawn on",
    }
