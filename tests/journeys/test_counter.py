"""The counter, in a real browser: a customer waits, the answer comes, with its reasons."""

from __future__ import annotations

import pytest
from django.db import transaction

from inventory.models.enquiry import Enquiry
from tests.factories.approvals import ApprovalFactory, EvidenceFactory
from tests.factories.cars import FitmentFactory, PressureFactory, VariantFactory
from tests.factories.catalogue import PatternFactory, SkuFactory, TypeApprovalFactory
from tests.factories.stock import stock_in
from tests.factories.when import TODAY
from tests.support.browser import sign_in
from tests.support.looking import look_well
from tests.support.people import PASSWORD, with_role

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def shop():
    """A saloon with a fitted size; one tyre approved and in stock, one with none left."""
    variant = VariantFactory(
        code="HAL-1600", with_wheels=True, search="hallmere sprint 1600 saloon"
    )
    pattern = PatternFactory(name="Cairnway", maker__name="Tarnbeck", introduced=1961)
    evidence = EvidenceFactory(checked=True, reference="Bulletin 63/14")
    for axle in ("front", "rear"):
        FitmentFactory(variant=variant, axle=axle)
        PressureFactory(variant=variant, axle=axle)
        with transaction.atomic():  # what a version rests on comes with it, or never
            ApprovalFactory(
                vehicle_line=variant.vehicle_line,
                axle=axle,
                listed=True,
                pattern=pattern,
                version__evidence=[evidence],
            )
    here = SkuFactory(code="TB-CAIRN", pattern=pattern, maker=pattern.maker)
    gone = SkuFactory(code="TB-GONE", size_text="185/70 R 15 89H")
    for sku in (here, gone):
        TypeApprovalFactory(sku=sku)
    stock_in(on_hand=4, sku=here, date_code="1425")
    stock_in(on_hand=1, sku=here, date_code="4426", received_on=TODAY)
    return variant


def test_from_signing_in_to_a_set_with_its_reasons_by_keyboard_alone(page, shop):
    with_role("counter")
    page.goto("/")
    look_well(page)
    page.get_by_label("Username").fill("counter")
    page.get_by_label("Password").fill(PASSWORD)
    page.keyboard.press("Enter")
    page.wait_for_selector("#q")
    look_well(page)
    # The box has the focus: nothing has to be clicked.
    page.reload()
    page.keyboard.type("Hallmere saloon, June 1964")
    page.keyboard.press("Enter")
    page.wait_for_url("**/counter/cars/HAL-1600/?built=1964-06")
    first = page.locator(".answers > li").first
    assert "1 set" in first.inner_text()
    assert "Bulletin 63/14" in first.inner_text()
    reasons = first.locator("summary", has_text="reasons")
    reasons.focus()
    page.keyboard.press("Enter")
    assert first.locator("details .source").first.is_visible()
    look_well(page)


def test_the_wheels_and_the_wishes_are_changed_on_the_answer_itself(page, shop):
    sign_in(page, with_role("counter"))
    page.goto("/counter/cars/HAL-1600/?built=1964-06")
    page.get_by_label("Wanted").select_option("front")
    page.get_by_role("button", name="Ask again").click()
    assert "2 sets" in page.locator(".answers > li").first.inner_text()
    page.get_by_label("Front rim, if another").fill("14")
    page.get_by_role("button", name="Ask again").click()
    page.get_by_text("looked at that").first.click()
    assert "does not suit" in page.inner_text("main")
    page.get_by_label("Built", exact=True).fill("some day")
    page.get_by_role("button", name="Ask again").click()
    assert "does not say when the car was built" in page.inner_text("main")
    look_well(page)


def test_a_question_that_cannot_be_met_is_noted_in_one_step(page, shop):
    sign_in(page, with_role("counter"))
    page.goto("/counter/cars/HAL-1600/?built=1964-06")
    page.get_by_role("button", name="Note that it was asked for").click()
    page.wait_for_url("**/counter/cars/HAL-1600/?built=1964-06")
    assert "Noted." in page.inner_text("main")
    assert [one.sku.code for one in Enquiry.objects.all()] == ["TB-GONE"]


def test_have_you_got_it_and_which_cars(page, shop):
    sign_in(page, with_role("counter"))
    look_well(page, "/counter/?q=185+70+15")
    assert "1 set" in page.inner_text("main")
    page.get_by_role("link", name="Tarnbeck Cairnway").click()
    assert "Which cars does this fit?" in page.inner_text("main")
    look_well(page)
    look_well(page, "/counter/wheels/?front_rim=15&front_size=185/70+R+15")
    look_well(page, "/counter/?q=nothing+like+it")
