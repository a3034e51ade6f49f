"""Approvals in a real browser: the owner records, checks, withdraws; the counter reads."""

from __future__ import annotations

import pytest
from django.db import transaction

from fitments.models.approval import Approval
from fitments.models.evidence import Evidence
from tests.factories.approvals import ApprovalFactory, EvidenceFactory, TestResultFactory
from tests.factories.cars import FitmentFactory, VariantFactory
from tests.factories.catalogue import SkuFactory, TypeApprovalFactory
from tests.factories.stock import stock_in
from tests.ground.uploads import files
from tests.support.browser import sign_in
from tests.support.looking import look_well
from tests.support.people import with_role

expect = pytest.importorskip("playwright.sync_api").expect
pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture(autouse=True)
def folder(settings, tmp_path):
    settings.EVIDENCE_ROOT = tmp_path / "evidence"


@pytest.fixture
def shop():
    """A saloon whose maker approves the one tyre in stock for both axles, by one letter."""
    variant = VariantFactory(code="HAL-1600", with_wheels=True, search="hallmere sprint 1600")
    letter = EvidenceFactory(code="LETTER-1", sizes=["185/70 R 15"])
    claims = []
    for axle in ("front", "rear"):
        FitmentFactory(variant=variant, axle=axle)
        with transaction.atomic():  # what a version rests on comes with it, or never
            claims.append(
                ApprovalFactory(
                    code=f"HLM-1-{axle[:1].upper()}", vehicle_line=variant.vehicle_line,
                    axle=axle, listed=True, version__evidence=[letter],
                )
            )  # fmt: skip
    sku = SkuFactory(code="TB-CAIRN")
    TypeApprovalFactory(sku=sku)
    stock_in(on_hand=8, sku=sku, date_code="1425")
    TestResultFactory(sku=sku)
    return claims


def test_the_owner_records_checks_and_withdraws(page, shop, tmp_path):
    sign_in(page, with_role("owner"))
    look_well(page, "/approvals/")
    page.get_by_role("link", name="Record a document").first.click()
    look_well(page)
    wrong, right = tmp_path / "letter.pdf", tmp_path / "scan.pdf"
    wrong.write_bytes(b"#!/bin/sh\necho no letter\n")
    right.write_bytes(files.pdf())
    page.get_by_label("Code", exact=True).fill("OWN-2")
    page.get_by_label("Reference").fill("HC/208")
    page.get_by_label("Issued by").fill("Hallmere Cars")
    page.get_by_label("File (PDF").set_input_files(wrong)
    page.get_by_role("button", name="Record it").click()
    assert page.get_by_text("this file is something else, whatever it is called").is_visible()
    assert page.get_by_label("Reference").input_value() == "HC/208"
    page.get_by_label("File (PDF").set_input_files(right)
    page.get_by_role("button", name="Record it").click()
    page.get_by_role("heading", name="OWN-2").wait_for()
    look_well(page)
    with page.expect_download() as saved:
        page.get_by_role("link", name="Save scan.pdf").click()
    assert saved.value.suggested_filename == "scan.pdf"
    page.get_by_role("button", name="It says what is written here").click()
    assert page.get_by_text("self-checked by owner").first.is_visible()
    assert Evidence.objects.get(code="OWN-2").self_checked

    page.goto(f"/approvals/{shop[0].pk}/")
    assert page.get_by_text("1 SKU with 8 tyres in the racks").first.is_visible()
    page.get_by_text("It is withdrawn", exact=True).click()
    look_well(page)
    page.get_by_label("Why").first.fill("their letter of today")
    page.get_by_role("button", name="Withdraw it").click()
    assert page.get_by_text("Withdrawn: nothing more is promised").is_visible()
    look_well(page)
    look_well(page, "/approvals/missing/")
    look_well(page, "/approvals/evidence/")
    look_well(page, "/approvals/lists/")


def test_the_owner_says_everything_of_an_approval_by_page(page, shop):
    """Recorded for both axles, corrected, a mark's words, then a new issue shown and done."""
    variant = VariantFactory(code="HAL-1800")
    line = variant.vehicle_line
    sign_in(page, with_role("owner"))
    page.goto("/approvals/")
    page.get_by_role("link", name="Record an approval").click()
    page.get_by_label("Code").fill("SPR-2")
    page.get_by_label("Model range").select_option(str(line.pk))
    page.get_by_label("Axle").select_option("both")
    page.get_by_label("Size").fill("round")
    page.get_by_label("Mark", exact=True).fill("HLM")
    page.get_by_label("Issue of the mark").fill("2")
    page.get_by_label("Rests on").fill("letter-1")
    page.get_by_label("Why").fill("their letter of May")
    page.get_by_role("button", name="Record it").click()
    expect(page.locator(".errorlist").first).to_contain_text("cannot be read")
    look_well(page)
    page.get_by_label("Size").fill("185/70 R 15")
    page.get_by_role("button", name="Record it").click()
    expect(page.get_by_text("Recorded: SPR-2-F, SPR-2-R.")).to_be_visible()
    page.get_by_role("link", name="Correct it").click()
    page.get_by_label("On condition").fill("dry only")
    page.get_by_label("Why").fill("misread")
    page.get_by_role("button", name="Keep it as a new version").click()
    expect(page.get_by_text("Corrected: what was said before")).to_be_visible()

    page.goto("/approvals/marks/record/")
    page.get_by_label("Car maker").select_option(str(line.maker_id))
    page.get_by_label("Mark", exact=True).fill("HLM")
    page.get_by_label("Words for old stock").fill("May be sold until 2028")
    page.get_by_label("Why").fill("bulletin 12")
    page.get_by_role("button", name="Record it").click()
    expect(page.get_by_role("heading", name="Mark HLM")).to_be_visible()
    look_well(page)

    page.goto("/approvals/new-issue/")
    page.get_by_label("Car maker").select_option(str(line.maker_id))
    page.get_by_label("Mark", exact=True).fill("HLM")
    page.get_by_label("Issue up to now").fill("2")
    page.get_by_label("New issue").fill("3")
    page.get_by_label("From", exact=True).fill("2026-07-01")
    page.get_by_label("Why").fill("bulletin 12")
    page.get_by_role("button", name="Show what it changes").click()
    expect(page.get_by_text("It changes 2 approvals")).to_be_visible()
    expect(page.get_by_text("May be sold until 2028")).to_be_visible()
    look_well(page)
    page.get_by_role("button", name="Let it take the place").click()
    expect(page.get_by_text("2 superseded, 2 recorded in their place.")).to_be_visible()
    assert Approval.objects.filter(code__in=["SPR-3-F", "SPR-3-R"]).count() == 2


def test_the_counter_reads_and_says_nothing_else(page, shop):
    sign_in(page, with_role("counter"))
    page.goto("/approvals/?q=hlm-1-f")
    page.get_by_label("In force on").fill("2018-01-01")
    page.get_by_role("button", name="Show").click()
    assert page.get_by_text("The register says nothing like that").is_visible()
    page.get_by_label("In force on").fill("2024-01-01")
    page.get_by_role("button", name="Show").click()
    page.get_by_role("link", name="HLM-1-F").click()
    assert page.get_by_text("a claim whose evidence nobody has checked").first.is_visible()
    assert page.get_by_role("button", name="Withdraw it").count() == 0
    page.get_by_role("link", name="LETTER-1").first.click()
    assert page.get_by_role("button", name="It says what is written here").count() == 0
    look_well(page)
    look_well(page, "/counter/tyres/TB-CAIRN/")
    assert page.get_by_text("rank 2 of 9").is_visible()
