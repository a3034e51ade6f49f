"""The warehouse in a real browser: a lorry comes, its tyres are read, booked, and put away."""

from __future__ import annotations

import os

import pytest

from inventory.models.balance import Balance
from inventory.models.delivery import Delivery
from inventory.models.lot import Lot
from inventory.models.purchase import PurchaseOrder
from inventory.models.supplier_complaint import SupplierComplaint
from tests.factories.buying import goods_in_at, sent_order
from tests.factories.catalogue import GtinFactory, SkuFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.support.browser import sign_in
from tests.support.looking import look_well, words
from tests.support.people import with_role
from tests.support.scanner import focused, scan

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

# A whole lorry is 200: TYRES_BY_SCANNER=200 reads it; a part of it is enough every day.
TYRES = int(os.environ.get("TYRES_BY_SCANNER", "12"))
HANDHELD = {"width": 360, "height": 760}


@pytest.fixture
def order():
    """An order for tyres of three SKUs, one of them marked, at a site with racks."""
    site = SiteFactory(code="FEN", name="Mill Lane")
    goods_in_at(site)
    for number in range(3):
        PlaceFactory(site=site, code=f"A-0{number + 1}", room=100)
    skus = [
        SkuFactory(code="TB-MARKED", marked=True),
        SkuFactory(code="TB-ROAD", size_text="165 R 15 86H"),
        SkuFactory(code="TB-WIDE", size_text="205/70 R 14 89W"),
    ]
    for sku in skus:
        GtinFactory(skus=[sku])
    order = sent_order(TYRES, TYRES, TYRES, skus=skus, oldest_months=12)
    return PurchaseOrder.objects.get(pk=order.pk)


def gtin(code: str) -> str:
    return SkuFactory._meta.model.objects.get(code=code).gtins.get().number


def opened(page, order) -> Delivery:
    """A delivery opened on the handheld, by the keyboard alone."""
    page.goto(f"/goods-in/open/?order={order.pk}")
    page.get_by_label("Number of the delivery note").fill("DN 7001")
    page.get_by_label("Arrived on").fill("2026-11-20")
    page.get_by_role("button", name="Begin to book it in").press("Enter")
    page.wait_for_url("**/goods-in/deliveries/*/")
    return Delivery.objects.get()


def test_tyres_are_booked_in_by_scanner_alone_three_scans_a_line(page, order):
    """In one sitting, key by key, at 360 px: SKU, number and mark, line after line."""
    sign_in(page, with_role("warehouse"))
    page.set_viewport_size(HANDHELD)
    delivery = opened(page, order)
    for number in range(TYRES):
        # The SKU is scanned when it changes; a tyre of the same SKU is one scan or two.
        if number % 5 == 0:
            code = ("TB-MARKED", "TB-ROAD", "TB-WIDE")[number // 5 % 3]
            scan(page, gtin(code), then="**/?sku=*")
        assert focused(page) == "date_code"
        week = 28 + number // 5 % 3
        if code == "TB-MARKED":
            scan(page, f"B9XY8LMN{week}26")
            assert focused(page) == "mark"
            scan(page, "HLM 2", then="**/?sku=*")
        else:
            scan(page, f"B9XY8LMN{week}26", then="**/?sku=*")
    assert delivery.lines.count() == TYRES
    assert not delivery.lines.exclude(disagrees="").exists()
    page.get_by_role("link", name="All is read: book it in").press("Enter")
    page.get_by_role("button", name="Book all of it in").press("Enter")
    page.wait_for_selector(".message.success")
    assert f"{TYRES} to goods in" in page.locator(".message.success").inner_text()
    assert sum(Balance.objects.order_by("pk").values_list("on_hand", flat=True)) == TYRES
    assert set(Lot.objects.values_list("plant", flat=True)) == {"B9"}


def test_what_is_wrong_is_told_at_once_put_aside_and_settled(page, order):
    sign_in(page, with_role("warehouse"))
    page.set_viewport_size(HANDHELD)
    page.goto("/goods-in/")
    look_well(page)
    page.set_viewport_size(HANDHELD)
    opened(page, order)
    look_well(page)
    # A place where a SKU is wanted: said what was read and what was wanted.
    page.reload()
    scan(page, "A-01", then="**/?sku=*")
    assert "“A-01” was read, and the code of a SKU or its GTIN is wanted." in words(page)
    scan(page, gtin("TB-MARKED"), then="**/?sku=*")
    page.get_by_text("What should be read, and where to look").press("Enter")
    assert page.locator(".sidewall .drawing").is_visible()
    look_well(page)
    page.reload()
    scan(page, "3026")
    scan(page, "HLM 1", then="**/?sku=*")
    assert "HLM issue 1 was read, HLM issue 2 ordered." in words(page)
    # The mark was not looked for: asked for, and the date code is still there.
    scan(page, "3026")
    page.get_by_role("button", name="Enter").press("Enter")
    assert "Read the approval mark: HLM issue 2 is wanted." in words(page)
    assert focused(page) == "mark"
    look_well(page)
    scan(page, "HLM 2", then="**/?sku=*")
    # Another SKU, scanned where a date code is wanted, is simply the next tyre.
    scan(page, gtin("TB-ROAD"), then="**/?sku=*")
    scan(page, "1024", then="**/?sku=*")
    assert "Made in week 10 of 2024" in words(page)
    page.get_by_role("link", name="All is read: book it in").press("Enter")
    look_well(page)
    page.get_by_role("button", name="Book all of it in").press("Enter")
    assert "1 to goods in, 2 to quarantine; 2 complaints to the supplier opened." in words(page)
    look_well(page)
    follow_to_the_end(page)


def follow_to_the_end(page) -> None:
    """The buyer sends a complaint on and settles it; the tyre is put away by two scans."""
    sign_in(page, with_role("buyer"))
    found = SupplierComplaint.objects.get(reason="too_old")
    page.goto("/goods-in/complaints/")
    look_well(page)
    page.get_by_role("link", name=found.number).press("Enter")
    page.get_by_label("Supplier's reference").fill("R-9")
    page.get_by_role("button", name="The supplier has it").press("Enter")
    page.get_by_label("Settled by").select_option("accepted")
    page.get_by_label("What was answered").fill("Ten per cent off, by letter.")
    page.get_by_role("button", name="Settle it").press("Enter")
    page.wait_for_selector("text=✓ settled")
    look_well(page)
    sign_in(page, with_role("warehouse", "tom"))
    page.set_viewport_size(HANDHELD)
    page.goto("/goods-in/put-away/")
    look_well(page)
    page.reload()
    assert focused(page) == "lot"
    scan(page, found.lot.code)
    assert focused(page) == "target"
    scan(page, "A-02", then="**/put-away/?site=*")
    assert f"✓ 1 of {found.lot.code} put away in A-02." in words(page)


def test_the_buyer_writes_an_order(page, order):
    sign_in(page, with_role("buyer"))
    page.goto("/purchasing/")
    look_well(page)
    page.get_by_role("link", name="Write an order").press("Enter")
    look_well(page)
    page.get_by_label("Supplier").select_option(label=str(order.supplier))
    page.get_by_role("button", name="Begin the order").press("Enter")
    page.get_by_label("SKU or GTIN").fill("tb-wide")
    page.get_by_label("How many").fill("24")
    page.get_by_role("button", name="Keep this line").press("Enter")
    page.wait_for_selector("text=TB-WIDE")
    look_well(page)
    page.get_by_role("button", name="The supplier has it").press("Enter")
    page.wait_for_selector("text=→ sent")
    look_well(page, "/purchasing/expected/")
    look_well(page, "/goods-in/transfers/")
