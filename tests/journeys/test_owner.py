"""The owner in a real browser: what disagreed, to its credit; what another asked for; new terms."""

from __future__ import annotations

from decimal import Decimal

import pytest
from playwright.sync_api import expect

from inventory.activities import writing_off
from inventory.models.balance import Balance
from inventory.models.supplier_complaint import SupplierComplaint
from inventory.models.supplier_terms import SupplierTerms
from inventory.models.write_off import WriteOff
from tests.factories.buying import PriceBreakFactory, SupplierTermsFactory, complaint
from tests.factories.places import PlaceFactory
from tests.factories.stock import LotFactory, stock_in
from tests.factories.when import AT
from tests.support.browser import sign_in
from tests.support.looking import look_well
from tests.support.people import with_role

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def shop():
    """A delivery of which two tyres came damaged, ten wet ones to be written off, and terms."""
    found = complaint(quantity=2)
    terms = SupplierTermsFactory(
        supplier=found.supplier, sku=found.sku, minimum=8, pack=4, lead_time_days=70
    )
    PriceBreakFactory(terms=terms, from_quantity=8, unit_price=Decimal(95))
    wet = stock_in(lot=LotFactory(code="LOT-WET"), place=PlaceFactory(code="A-09"), on_hand=12)
    PlaceFactory(site=wet.place.site, code="Q-09", quarantine=True)
    writing_off.write_off(
        lot=wet.lot, place=wet.place, quantity=10, reason="damaged", why="The roof leaked.",
        by=with_role("warehouse", "ann"), at=AT,
    )  # fmt: skip
    return found


def press(page, name: str) -> None:
    page.get_by_role("button", name=name).press("Enter")


def test_the_owner_sees_it_through(page, shop):
    sign_in(page, with_role("owner", "olive"))
    follow_what_disagreed(page, shop)
    decide_what_another_asked_for(page)
    complain_of_what_was_found(page, shop)
    change_the_terms(page, shop)


def follow_what_disagreed(page, shop) -> None:
    """From goods in to the delivery, what is wrong with it, and the credit for it."""
    page.goto("/goods-in/")
    page.get_by_role("link", name="1 complaints not settled").click()
    page.get_by_role("link", name=shop.number).click()
    page.get_by_role("link", name=shop.delivery.number, exact=True).click()
    expect(page.locator("ol.read")).to_contain_text("✕ to quarantine: Damaged.")
    page.go_back()
    page.get_by_label("Supplier's reference").fill("R-9")
    press(page, "The supplier has it")
    page.get_by_label("Settled by").select_option("credit")
    page.get_by_label("What was answered").fill("Credited in full.")
    page.get_by_label("Credit, if an amount is known").fill("190.00")
    press(page, "Settle it")
    expect(page.locator("h1")).to_contain_text("✓ settled")
    press(page, "Book the tyres out: they go back")
    expect(page.locator("main")).to_contain_text("sent back to the supplier")
    shop.refresh_from_db()
    assert (shop.settlement, shop.credit) == ("credit", Decimal(190))


def decide_what_another_asked_for(page) -> None:
    """Ten are above what one person writes off; the owner is the other one."""
    page.goto("/counts/write-offs/")
    row = WriteOff.objects.get()
    page.get_by_role("link", name=row.number).click()
    expect(page.locator("main")).to_contain_text("by ann")
    press(page, "Write them off")
    expect(page.locator("h1")).not_to_contain_text("asked")
    row.refresh_from_db()
    assert (row.decided_by.username, row.self_checked) == ("olive", False)
    assert Balance.objects.get(lot__code="LOT-WET").on_hand == 2


def complain_of_what_was_found(page, shop) -> None:
    """One of the two that are left has a bulge: from its lot's page to its complaint."""
    page.goto("/shelf/?scan=LOT-WET")
    expect(page.get_by_role("link", name="Print its labels")).to_be_visible()
    look_well(page)
    page.get_by_role("link", name="Complain of it to the supplier").click()
    page.get_by_label("How many").fill("3")
    page.get_by_label("In words, as the supplier will read it").fill("A bulge.")
    page.get_by_label("Supplier", exact=True).select_option(label=str(shop.supplier))
    press(page, "Put aside and complain")
    expect(page.locator("main")).to_contain_text("2 of lot LOT-WET are in A-09; 3 were asked for.")
    page.get_by_label("How many").fill("1")
    press(page, "Put aside and complain")
    expect(page.locator(".message.success")).to_contain_text("put the tyres into Q-09")
    assert SupplierComplaint.objects.latest("pk").quantity == 1


def change_the_terms(page, shop) -> None:
    """A least that is not whole packs is told beside its field; then the terms are kept."""
    page.goto("/purchasing/")
    page.get_by_role("link", name="Terms of suppliers").click()
    page.get_by_role("link", name=shop.sku.code).click()
    page.get_by_label("Least on an order").fill("10")
    page.get_by_label("Lead time, days").fill("84")
    press(page, "Keep these terms")
    expect(page.locator("main")).to_contain_text("10 is not whole packs of 4: 8 or 12 would be.")
    look_well(page)
    page.get_by_label("Least on an order").fill("8")
    page.get_by_label("Break 2: From pieces").fill("40")
    page.get_by_label("Break 2: Price of one").fill("91.50")
    press(page, "Keep these terms")
    expect(page.locator("main")).to_contain_text("As olive left it")
    terms = SupplierTerms.objects.get()
    assert terms.lead_time_days == 84
    assert list(terms.breaks.order_by("pk").values_list("from_quantity", "unit_price")) == [
        (8, Decimal("95.00")),
        (40, Decimal("91.50")),
    ]
