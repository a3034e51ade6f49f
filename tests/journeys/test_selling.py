"""The counter holds and sells; the warehouse picks and sends at 360 px; in a real browser."""

from __future__ import annotations

import pytest
from django.db import transaction
from playwright.sync_api import expect

from inventory.models.despatch import Despatch
from inventory.models.hold import Hold
from inventory.models.pick import PickList
from inventory.models.place import PlaceKind
from inventory.models.sale import Order
from tests.factories.cars import FitmentFactory, IdentifiedCarFactory, VariantFactory
from tests.factories.catalogue import SkuFactory, TypeApprovalFactory
from tests.factories.people import CarWheelFactory, CustomerCarFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.sending import a_line, an_order, four_alike, hold_for
from tests.factories.stock import stock_in
from tests.support.browser import sign_in
from tests.support.looking import look_well, words
from tests.support.people import with_role
from tests.support.scanner import focused, scan

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
HANDHELD = {"width": 360, "height": 760}


@pytest.fixture
def shop():
    """A customer's saloon with tyres on it; six for it in one rack, nine near them in another."""
    site = SiteFactory(code="FEN", name="Mill Lane")
    PlaceFactory(site=site, code="OUT-1", kind=PlaceKind.DESPATCH, walk=90)
    PlaceFactory(site=site, code="Q-1", kind=PlaceKind.QUARANTINE, walk=95)
    variant = VariantFactory(
        code="HAL-1600", with_wheels=True, search="hallmere sprint 1600 saloon"
    )
    for axle in ("front", "rear"):
        FitmentFactory(variant=variant, axle=axle)
    with transaction.atomic():
        sku = SkuFactory(code="TB-CAIRN")
        TypeApprovalFactory(sku=sku)
    first = PlaceFactory(site=site, code="A-01", walk=1)
    second = PlaceFactory(site=site, code="B-07", walk=2)
    lot = stock_in(on_hand=6, sku=sku, date_code="1425", place=first).lot
    near = stock_in(on_hand=9, sku=sku, date_code="1625", place=second).lot
    car = CustomerCarFactory(customer__name="Winifred Astbourne", description="Sprint, grey")
    CarWheelFactory(car=car, tyre=sku, date_code="1417")
    IdentifiedCarFactory(customer_car=car, variant=variant)
    return {"lot": lot, "near": near, "car": car}


def press(page, name: str, role: str = "button") -> None:
    page.get_by_role(role, name=name).first.press("Enter")


def test_the_counter_holds_a_set_and_sells_it(page, shop):
    sign_in(page, with_role("counter"))
    look_well(page, "/customers/?q=astbourne")
    press(page, "Winifred Astbourne", "link")
    page.wait_for_url("**/customers/*/")
    look_well(page)
    press(page, "What does it take?", "link")
    page.wait_for_url("**/counter/cars/HAL-1600/**")
    page.get_by_text("Hold this set").first.press("Enter")
    look_well(page)
    # One step: for whom it is was known, and until when is filled in.
    press(page, "Hold it")
    page.wait_for_url("**/holds/*/")
    hold = Hold.objects.get()
    assert f"{hold.number}: held for Winifred Astbourne until" in words(page)
    page.get_by_label("Why longer").fill("her mechanic is away")
    press(page, "Let it run longer")
    expect(page.get_by_text("her mechanic is away")).to_be_visible()
    assert "1425" in words(page)
    look_well(page)
    look_well(page, "/holds/")
    page.goto(f"/holds/{hold.pk}/")
    press(page, "They take it: order it", "link")
    page.get_by_label("Deliver to").fill("12 Wendle Road")
    look_well(page)
    press(page, "Take the order")
    page.wait_for_url("**/orders/*/")
    assert "1 held" in words(page)
    look_well(page)
    # And a set more, from the answer for the same car.
    press(page, "Add a set", "link")
    page.wait_for_url("**/counter/cars/HAL-1600/**")
    press(page, f"Add it to {Order.objects.get().number}", "link")
    look_well(page)
    press(page, "Add it")
    page.wait_for_url("**/orders/*/")
    assert "Added to" in words(page)
    assert Order.objects.get().lines.count() == 2
    # Somebody else asks: quoted first, then ordered at that price.
    page.goto("/counter/cars/HAL-1600/?built=1964-06")
    press(page, "Quote it", "link")
    page.get_by_label("Customer").fill("Greta Sandholm")
    look_well(page)
    press(page, "Give the quote")
    page.wait_for_url("**/quotes/*/")
    assert "What was answered, and why" in words(page)
    look_well(page)
    press(page, "They take it: order it", "link")
    press(page, "Take the order")
    page.wait_for_url("**/orders/*/")
    assert Order.objects.count() == 2
    for path in ("/orders/", "/queue/", "/customers/new/", f"/customers/cars/{shop['car'].pk}/"):
        look_well(page, path)


@pytest.fixture
def order(shop):
    """An order for the customer's set, held."""

    made = an_order(customer=shop["car"].customer)
    line = a_line(made, recipe=four_alike(shop["lot"].sku), what="4 × Tarnbeck Cairnway")
    place = shop["lot"].balances.get().place
    hold_for(line, (shop["lot"], place, 2, "front"), (shop["lot"], place, 2, "rear"))
    return made


def test_the_warehouse_picks_packs_and_sends_at_360_px(page, shop, order):
    sign_in(page, with_role("warehouse"))
    page.set_viewport_size(HANDHELD)
    look_well(page, "/picks/")
    page.set_viewport_size(HANDHELD)
    press(page, f"Make the list of {order.number}")
    page.wait_for_url("**/picks/*/")
    listed = PickList.objects.get()
    look_well(page)
    page.set_viewport_size(HANDHELD)
    page.reload()
    # The scanner alone: what was read is what is wanted.
    assert focused(page) == "scanned"
    scan(page, shop["lot"].code, then=f"**/picks/{listed.pk}/")
    page.wait_for_selector("text=✓ 2 of")
    # Another lot: asked about, and taken for a reason.
    scan(page, shop["near"].code, then=f"**/picks/{listed.pk}/scan/")
    assert "was scanned, 1625" in words(page)
    look_well(page)
    page.get_by_label("Why another").fill("wet wrapping")
    press(page, "Take that one, if the set still matches")
    page.wait_for_selector("text=All of it is picked")
    look_well(page)
    page.set_viewport_size(HANDHELD)
    page.get_by_label("Parcels").fill("2")
    press(page, "It is packed")
    page.wait_for_url("**/leave/")
    assert "✓ may leave" in words(page)
    look_well(page)
    page.set_viewport_size(HANDHELD)
    page.get_by_label("Carrier").fill("Wendle Vans")
    press(page, "It leaves")
    page.wait_for_url("**/despatches/*/")
    sent = Despatch.objects.get()
    assert f"{sent.number} has left." in words(page)
    look_well(page)
    come_back_and_complain(page, sent)


def come_back_and_complain(page, sent) -> None:
    """One tyre came back fitted, into quarantine; of another the customer complains."""
    page.set_viewport_size(HANDHELD)
    press(page, "Some of it came back", "link")
    page.get_by_label("Reason").select_option("does_not_suit")
    page.get_by_label("Put into which place").fill("Q-1")
    page.get_by_label("How many of 2").first.fill("1")
    page.get_by_label("Condition").first.select_option("fitted")
    look_well(page)
    press(page, "Book it in")
    page.wait_for_url("**/returns/*/")
    assert "made from lot" in words(page)
    look_well(page)
    page.goto(f"/despatches/{sent.pk}/")
    press(page, "A complaint about lot", "link")
    page.get_by_label("What is wrong").fill("A bulge in the wall.")
    look_well(page)
    press(page, "Open the complaint")
    page.wait_for_url("**/complaints/*/")
    look_well(page)
    for path in ("/despatches/", "/returns/", "/complaints/"):
        look_well(page, path)
