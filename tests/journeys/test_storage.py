"""Customers' tyres in a real browser at 360 px: taken in and found by scanner, handed back."""

from __future__ import annotations

import pytest
from django.utils import timezone

from inventory.models.balance import Balance
from inventory.models.storage import Storage
from tests.factories.catalogue import GtinFactory, SkuFactory
from tests.factories.people import CustomerCarFactory
from tests.factories.places import PlaceFactory
from tests.support.browser import sign_in
from tests.support.looking import look_well
from tests.support.people import with_role
from tests.support.scanner import focused, scan

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
NUMBER = "09520123456788"
HANDHELD = {"width": 360, "height": 760}


@pytest.fixture
def _shop():
    GtinFactory(number=NUMBER, skus=[SkuFactory(code="TB-ROAD", size_text="165 R 15 86H")])
    PlaceFactory(code="A-01")
    CustomerCarFactory(customer__name="Ada Quill", plate="AQ 1")


@pytest.mark.usefixtures("_shop")
def test_taken_in_kept_on_and_handed_back(page):
    sign_in(page, with_role("warehouse", "ann"))
    page.set_viewport_size(HANDHELD)
    page.goto("/storage/")
    page.get_by_role("link", name="Take tyres in").click()
    assert focused(page) == "name"
    scan(page, "Ada Quill")
    page.get_by_label("Due back on").fill(timezone.localdate().isoformat())
    page.get_by_label("Place").focus()
    scan(page, "A-01")
    assert focused(page) == "sku_1"
    scan(page, f"]d201{NUMBER}")
    assert focused(page) == "quantity_1"
    look_well(page)
    page.set_viewport_size(HANDHELD)
    page.get_by_label("How many").first.focus()
    scan(page, "4", then="**/storage/*/")
    row = Storage.objects.get()
    assert (row.customer.name, Balance.objects.get().on_hand) == ("Ada Quill", 4)
    page.goto("/storage/")
    page.get_by_label("Number, customer").focus()
    scan(page, f"]d201{NUMBER}10{row.number}.1", then="**/storage/?*")
    page.get_by_role("link", name=row.number).click()
    page.get_by_text("Keep them longer").click()
    page.get_by_label("Keep them until").fill("2020-01-01")
    page.get_by_label("Why longer").fill("Away.")
    page.get_by_role("button", name="Put the day off").click()
    page.get_by_role("alert").filter(has_text="is past").wait_for()
    look_well(page)
    page.get_by_label("Handed to").fill("Her son")
    page.get_by_role("button", name="Hand them all back").click()
    page.get_by_role("status").filter(has_text="is handed to Her son").wait_for()
    assert Balance.objects.get().on_hand == 0
