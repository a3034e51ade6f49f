"""Pages that no journey comes by, each looked at with rows in it."""

from __future__ import annotations

import pytest

from inventory.models.consignment import Consignment
from inventory.models.outing import Outing
from tests.inventory.api.scenes import ROWS
from tests.support.browser import sign_in
from tests.support.looking import look_well
from tests.support.people import with_role

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
SHOWN = (
    "outings", "consignments", "consignment-steps", "supplier-terms", "production-batches",
    "pre-orders", "quotes", "returns", "complaints", "counts", "write-offs", "ageing-alerts",
)  # fmt: skip
PAGES = (
    "/vans/", "/vans/new/", "/consignments/", "/consignments/new/", "/purchasing/terms/",
    "/purchasing/terms/new/", "/purchasing/batches/", "/queue/", "/quotes/", "/returns/",
    "/complaints/", "/counts/", "/labels/", "/labels/scanner/", "/sheets/", "/ageing/",
)  # fmt: skip


def test_every_one_can_be_read_and_used_at_both_widths_and_in_the_dark(page, subtests):
    for name in SHOWN:
        ROWS[name](2)
    van, consigned = Outing.objects.first(), Consignment.objects.first()
    sign_in(page, with_role("owner"))
    for path in (*PAGES, f"/vans/{van.pk}/", f"/consignments/{consigned.pk}/"):
        with subtests.test("a page", path=path):
            look_well(page, path)
            assert page.locator("main").count() == 1
