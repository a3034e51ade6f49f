"""The pages of spreadsheets in a real browser: on a screen and on a telephone, for everybody."""

from __future__ import annotations

import pytest

from tests.factories.catalogue import TyreMakerFactory
from tests.ground.sheet_files import csv_file
from tests.support.browser import sign_in
from tests.support.looking import look_well

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PATH = "/sheets/tyre-makers/"
HEAD = ("code", "name", "country")


@pytest.fixture
def buyer(page, buyer_person):
    sign_in(page, buyer_person)
    return page


def file_of(*rows) -> dict:
    return {"name": "makers.csv", "mimeType": "text/csv", "buffer": csv_file(HEAD, *rows)}


def test_checked_put_right_and_loaded(buyer):
    TyreMakerFactory(code="ORR", name="Orell")
    buyer.goto("/sheets/")
    look_well(buyer)
    buyer.get_by_role("link", name="Tyre makers").click()
    look_well(buyer)
    buyer.get_by_label("Spreadsheet").set_input_files(file_of(("ORR", "Orrel", ""), ("", "X", "")))
    buyer.get_by_role("button", name="Check only").click()
    buyer.get_by_role("heading", name="Nothing was loaded").wait_for()
    assert buyer.get_by_text("this cell is empty, and is needed.").is_visible()
    look_well(buyer)
    buyer.get_by_label("Spreadsheet").set_input_files(file_of(("ORR", "Orrel", "Norland")))
    buyer.get_by_role("button", name="Check only").click()
    buyer.get_by_role("heading", name="Nothing is wrong with it").wait_for()
    look_well(buyer)
    buyer.get_by_label("Spreadsheet").set_input_files(file_of(("ORR", "Orrel", "Norland")))
    buyer.get_by_role("button", name="Load all of it, or nothing").click()
    buyer.get_by_role("heading", name="Loaded", exact=True).wait_for()
    assert buyer.get_by_role("cell", name="Norland").is_visible()
    look_well(buyer)


def test_by_keyboard(buyer):
    buyer.goto(PATH)
    look_well(buyer)
    buyer.get_by_label("Spreadsheet").focus()
    buyer.keyboard.press("Tab")
    assert buyer.evaluate("document.activeElement.textContent") == "Check only"
    with buyer.expect_download() as download:
        buyer.get_by_role("link", name="Template as CSV").click()
    assert download.value.suggested_filename == "tyre-makers.csv"
