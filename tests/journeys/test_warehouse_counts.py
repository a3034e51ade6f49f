"""The warehouse in a real browser at 360 px: labels printed and scanned, a place counted."""

from __future__ import annotations

from io import BytesIO

import pytest
from PIL import Image

from inventory.models.balance import Balance
from inventory.models.count import Count
from tests.factories.catalogue import GtinFactory, SkuFactory
from tests.factories.places import PlaceFactory
from tests.factories.stock import LotFactory, stock_in
from tests.support.browser import sign_in
from tests.support.looking import look_well, words
from tests.support.people import with_role
from tests.support.scanner import focused, scan
from tests.support.symbols import pages_of, read_symbol

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

HANDHELD = {"width": 360, "height": 760}
NUMBER = "09520123456788"


@pytest.fixture
def lots():
    """Eight of one lot and two of another of the same SKU, in one place."""
    sku = SkuFactory(code="TB-ROAD", size_text="165 R 15 86H")
    GtinFactory(number=NUMBER, skus=[sku])
    place = PlaceFactory(code="A-01")
    for code, on_hand in (("LOT-A", 8), ("LOT-B", 2)):
        stock_in(lot=LotFactory(code=code, sku=sku), place=place, on_hand=on_hand)
    return Balance.objects.order_by("lot__code")


def handheld(page, path: str) -> None:
    page.set_viewport_size(HANDHELD)
    page.goto(path)


def labels_of(page, code: str) -> list[Image.Image]:
    """The labels of what lies in a place, asked for on the page and printed."""
    handheld(page, "/labels/")
    look_well(page)
    asked = {"of": "lots", "scans": code, "each": "lot", "size": "100x50"}
    answer = page.request.get("/labels/", params=asked)
    assert answer.headers["content-type"] == "application/pdf"
    return pages_of(answer.body())


def test_labels_are_printed_scanned_and_a_place_counted_by_them(page, lots):
    sign_in(page, with_role("warehouse", "ann"))
    said = [read_symbol(label) for label in labels_of(page, "A-01")]
    assert said == [f"]d201{NUMBER}10LOT-A", f"]d201{NUMBER}10LOT-B"]

    handheld(page, "/counts/")
    look_well(page)
    handheld(page, "/counts/")
    scan(page, "LOT-C", then="**/counts/begin/")
    assert "“LOT-C” was read, and the label of a place or of a SKU is wanted." in words(page)
    page.get_by_label("Place to count, or SKU").fill("")
    scan(page, "]d1A-01", then="**/counts/*/")
    assert focused(page) == "lot"
    # The symbol of a maker's own label, with a serial number behind the separator.
    scan(page, f"{said[0]}\x1d21S-1", then="**/counts/*/")
    assert "✓ LOT-A: 1 counted." in words(page)
    for _ in range(2):
        scan(page, said[1], then="**/counts/*/")
    scan(page, NUMBER, then="**/enter/")
    assert "Several lots of it are here (LOT-A, LOT-B): scan the label of the lot." in words(page)
    count = Count.objects.get()
    handheld(page, f"/counts/{count.pk}/")
    page.get_by_role("button", name="All that is there is counted").press("Enter")
    page.wait_for_selector("text=These did not agree")
    assert "LOT-B" not in page.locator("main ul").first.inner_text()
    look_well(page)
    handheld(page, f"/counts/{count.pk}/")
    scan(page, said[0], then="**/counts/*/")
    page.get_by_role("button", name="All that is there is counted").press("Enter")
    page.wait_for_selector("text=another person looks at it and posts it")
    post_as_another(page, count)


def post_as_another(page, count) -> None:
    """The owner sees both numbers, and posts the difference."""
    sign_in(page, with_role("owner", "olive"))
    handheld(page, f"/counts/{count.pk}/")
    assert "The ledger said" in page.content()
    look_well(page)
    handheld(page, f"/counts/{count.pk}/")
    page.get_by_role("button", name="Post the difference").press("Enter")
    page.wait_for_selector("text=✓ Posted.")
    assert list(Balance.objects.order_by("lot__code").values_list("lot__code", "on_hand")) == [
        ("LOT-A", 1),
        ("LOT-B", 2),
    ]


def test_the_scanner_is_set_up_by_what_arrives(page):
    sign_in(page, with_role("warehouse"))
    handheld(page, "/labels/scanner/")
    look_well(page)
    handheld(page, "/labels/scanner/")
    # Dark on light in the dark too; what of the page shows at its very edge is cut off.
    seen = Image.open(BytesIO(page.locator("svg.symbol").screenshot())).convert("L")
    sent = read_symbol(seen.crop((4, 4, seen.width - 4, seen.height - 4)))
    assert sent == "]d2010952012345678810Y7-zA_+/?\x1d21Test=1"
    scan(page, sent, then="**/labels/scanner/?*")
    assert "It arrived as GS" in words(page)
    assert page.locator("[data-sound='wrong']").count() == 0
    look_well(page)
    handheld(page, "/labels/scanner/")
    scan(page, sent.replace("\x1d", ""), then="**/labels/scanner/?*")
    assert "It was lost." in words(page)
    handheld(page, "/labels/scanner/")
    scan(page, sent.replace("\x1d", "^]"), then="**/labels/scanner/?*")
    assert "It arrived as GS" in words(page)
