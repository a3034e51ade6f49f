"""The buyer in January, in a real browser: what runs out and why, by when to order, what is old."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import transaction
from django.utils import timezone

from inventory.ground.jobs.kinds import Work
from inventory.models.alert import Alert, AlertOverride
from inventory.models.season import SeasonChange
from inventory.tasks import ageing_alerts, reorder_alerts
from tests.factories.approvals import ApprovalFactory, EvidenceFactory
from tests.factories.buying import PriceBreakFactory, SupplierTermsFactory
from tests.factories.catalogue import SkuFactory
from tests.factories.planning import (
    EarlierSalesFactory,
    EventFactory,
    SeasonFactory,
    SkuPairFactory,
)
from tests.factories.stock import EnquiryFactory, LotFactory, stock_in
from tests.support.browser import sign_in
from tests.support.looking import look_well, words
from tests.support.people import with_role

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def shop():
    """Two years of a front and a rear; the rear is nearly gone, and there is something old."""
    today = timezone.localdate()
    SeasonFactory(last_day=today + timedelta(days=240), budget=Decimal(9000))
    EventFactory(first_day=today + timedelta(days=90), last_day=today + timedelta(days=91))
    pair = SkuPairFactory(front__code="TB-FRONT", rear__code="TB-REAR")
    for sku, on_hand in ((pair.front, 9), (pair.rear, 3)):
        sku.price = Decimal(190)
        sku.save()
        PriceBreakFactory(terms=SupplierTermsFactory(sku=sku))
        stock_in(lot=LotFactory(sku=sku, date_code="1425"), on_hand=on_hand)
        for n in range(1, 25):
            month = (today.replace(day=1) - timedelta(days=30 * n)).replace(day=1)
            if not sku.earlier_sales.filter(month=month).exists():
                EarlierSalesFactory(sku=sku, month=month, sold=4)
    old = LotFactory(sku=SkuFactory(code="TB-OLD"), date_code="1217", code="L-OLD")
    stock_in(lot=old)
    EnquiryFactory(of_a_size=True, asked_at=timezone.now())
    paper = EvidenceFactory(due_on=today)
    with transaction.atomic():
        ApprovalFactory(version__evidence=[paper])
    night = Work(0, "tonight", {}, None, timezone.now())
    reorder_alerts(night, None)
    ageing_alerts(night, None)
    return pair


def test_from_the_list_to_a_number_of_ones_own(page, shop):
    sign_in(page, with_role("buyer"))
    page.goto("/")
    page.get_by_role("link", name="Reorder").click()
    first = page.locator("tbody tr").first
    assert "TB-REAR" in first.inner_text()
    assert "Holds up its mate" in first.inner_text()
    look_well(page)
    page.get_by_role("link", name="TB-REAR").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/reorder/skus/*/")
    tool = Alert.objects.get(sku=shop.rear).pieces
    page.get_by_text("The same in numbers").click()
    look_well(page)
    own = page.locator("form[action$='own-number/']")
    own.get_by_label("Pieces to order").fill(str(tool + 4))
    own.get_by_label("Why").fill("the club asked for a set more")
    own.get_by_role("button", name="Order this many").press("Enter")
    page.get_by_text(f"{tool + 4} in place of {tool}").wait_for()
    assert AlertOverride.objects.get().made_by.username == "buyer"
    later = page.locator("form[action$='leave/']")
    until = timezone.localdate() + timedelta(days=7)
    later.get_by_label("Leave until").fill(until.isoformat())
    later.get_by_label("Why").fill("the maker rings on Monday")
    later.get_by_role("button", name="Leave it").press("Enter")
    page.get_by_text("Left until that day.").wait_for()
    page.goto("/reorder/")
    assert "TB-REAR" not in words(page)


def test_the_season_its_plan_and_what_is_old(page, shop):
    sign_in(page, with_role("buyer"))
    page.goto("/season/")
    day = timezone.localdate() + timedelta(days=90)
    page.get_by_label("From", exact=True).fill(day.isoformat())
    page.get_by_label("To", exact=True).fill((day + timedelta(days=30)).isoformat())
    page.get_by_label("Per cent more").fill("40")
    page.get_by_label("Because of the event").select_option(index=1)
    page.get_by_label("Why", exact=True).fill("forty cars more than last year")
    page.get_by_role("button", name="Keep it").press("Enter")
    page.get_by_text("+40 %").wait_for()
    assert SeasonChange.objects.get().made_by.username == "buyer"
    look_well(page)
    page.get_by_role("link", name="What to order within the money").click()
    page.get_by_role("link", name="TB-REAR").wait_for()
    look_well(page)
    page.get_by_role("link", name="What grows old?").click()
    page.get_by_role("link", name="L-OLD").wait_for()
    look_well(page)
    page.get_by_role("link", name="L-OLD").click()
    page.get_by_text("have been over the house's limit").wait_for()
    look_well(page)
    for path in ("/reorder/bring-back/", "/reorder/sizes/", "/approvals/reviews/"):
        look_well(page, path)
    page.goto(f"/reorder/skus/{shop.rear_id}/")
    page.get_by_role("link", name="Five years of it").click()
    page.get_by_label("By", exact=True).select_option("month")
    look_well(page)
