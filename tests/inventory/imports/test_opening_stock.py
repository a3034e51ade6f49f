"""Opening stock from a spreadsheet: lots, postings, blocks, owners; booked once."""

from __future__ import annotations

import time
from datetime import date
from decimal import Decimal

import pytest

from inventory.ground.sheets.loading import load
from inventory.ground.sheets.registry import sheet_named
from inventory.ground.sheets.shifting import Shift
from inventory.models.balance import Balance
from inventory.models.lot import Block, BlockReason, Condition, Lot, Owner
from inventory.models.posting import LedgerLine, Posting, PostingKind
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory, SupplierFactory, UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.when import AT
from tests.ground.sheet_files import csv_file, xlsx_file
from tests.ground.sheet_loads import loaded, wrong
from tests.support.concurrency import at_once

pytestmark = pytest.mark.django_db

SHORT = ["lot", "SKU", "quantity", "place", "date code", "received on"]
OWNED = [*SHORT, "owner", "whose"]


@pytest.fixture(autouse=True)
def house():
    SkuFactory(code="T1", mark="HLM", mark_issue="2")
    PlaceFactory(code="A-01")
    PlaceFactory(code="B-02")


def test_a_row_with_everything():
    by = UserFactory()
    SupplierFactory(code="OST")
    cells = {
        "lot": "LOT-1", "SKU": "t1", "quantity": "8", "place": "a-01", "date code": "1423",
        "mark": "HLM", "mark issue": "1", "pattern issue": "C", "made in": "Portugal",
        "delivery": "D-7", "received on": "2024-03-11", "unit cost": "118.50", "currency": "EUR",
        "owner": "a supplier, on consignment", "whose": "ost", "condition": "buffed",
        "buffed to mm": "3.5", "blocked": "to be checked", "note": "looks odd",
    }  # fmt: skip
    assert loaded("opening-stock", list(cells), list(cells.values()), by=by).new == 1
    lot = Lot.objects.get()
    assert (lot.code, lot.sku.code, lot.date_code) == ("LOT-1", "T1", "1423")
    assert (lot.first_day, lot.last_day) == (date(2023, 4, 2), date(2023, 4, 8))
    assert (lot.mark, lot.mark_issue, lot.pattern_issue) == ("HLM", "1", "C")
    assert (lot.country, lot.delivery, lot.received_on) == ("Portugal", "D-7", date(2024, 3, 11))
    assert (lot.unit_cost, lot.currency) == (Decimal("118.50"), "EUR")
    assert (lot.owner, lot.owner_supplier.code) == (Owner.SUPPLIER, "OST")
    assert (lot.condition, lot.buffed_to_mm) == (Condition.BUFFED, Decimal("3.5"))
    assert (lot.recorded_by, lot.recorded_at) == (by, AT)
    block = Block.objects.get()
    assert (block.lot, block.reason, block.note) == (lot, BlockReason.TO_BE_CHECKED, "looks odd")
    posting = Posting.objects.get()
    assert (posting.kind, posting.recorded_by, posting.at) == (PostingKind.OPENING, by, AT)
    balance = Balance.objects.get()
    assert (balance.lot, balance.place.code, balance.on_hand, balance.held) == (lot, "A-01", 8, 0)


def test_one_lot_in_two_places_is_one_lot_and_one_posting():
    rows = [
        ["L1", "T1", "3", "A-01", "1423", "2024-03-11"],
        ["L1", "T1", "5", "B-02", "1423", "2024-03-11"],
    ]
    assert loaded("opening-stock", SHORT, *rows).new == 2
    assert Lot.objects.count() == Posting.objects.count() == 1
    assert sorted(Balance.objects.values_list("on_hand", flat=True)) == [3, 5]


def test_a_mark_that_nobody_looked_for_is_the_sku_s_and_none_is_none():
    rows = [
        ["L1", "T1", "1", "A-01", "", "2024-03-11", ""],
        ["L2", "T1", "1", "A-01", "", "2024-03-11", "None"],
    ]
    loaded("opening-stock", [*SHORT, "mark"], *rows)
    one, other = Lot.objects.order_by("code")
    assert (one.mark, one.mark_issue) == ("HLM", "2")
    assert (other.mark, other.mark_issue) == ("", "")


def test_tyres_of_a_customer_and_of_a_supplier():
    customer, supplier = CustomerFactory(name="Orrin Tasker"), SupplierFactory(code="OST")
    loaded(
        "opening-stock", OWNED,
        ["L1", "T1", "1", "A-01", "", "2024-03-11", "customer", "orrin tasker"],
        ["L2", "T1", "1", "A-01", "", "2024-03-11", "supplier", "Ost"],
        ["L3", "T1", "1", "A-01", "", "2024-03-11", "", ""],
    )  # fmt: skip
    one, two, three = Lot.objects.order_by("code")
    assert (one.owner_customer, two.owner_supplier) == (customer, supplier)
    assert (three.owner, three.owner_customer, three.owner_supplier) == (Owner.HOUSE, None, None)


def test_owners_that_cannot_be():
    CustomerFactory(name="Twice Told")
    CustomerFactory(name="twice told")
    base = ["T1", "1", "A-01", "", "2024-03-11"]
    assert wrong(
        "opening-stock", OWNED,
        ["L1", *base, "customer", "Nobody"],
        ["L2", *base, "supplier", ""],
        ["L3", *base, "the house", "Orrin Tasker"],
        ["L4", *base, "customer", "Twice Told"],
        ["L5", *base, "the bank", ""],
    ) == [
        "row 2, whose: there is no customer “Nobody”.",
        "row 3, whose: say which supplier's these tyres are.",
        "row 4, whose: the house's own tyres are nobody else's: “Orrin Tasker”.",
        "row 5, whose: There are several customers “Twice Told”: give them names apart.",
        "row 6, owner: “the bank” is none of: the house, a customer, in storage, a supplier, on "
        "consignment.",
    ]  # fmt: skip


def test_every_row_is_told():
    told = wrong(
        "opening-stock", [*SHORT, "condition", "buffed to mm"],
        ["L1", "T9", "1", "A-01", "", "2024-03-11", "", ""],
        ["L2", "T1", "0", "A-01", "", "2024-03-11", "", ""],
        ["L3", "T1", "1.5", "A-01", "", "2024-03-11", "", ""],
        ["L4", "T1", "1", "Z-99", "", "2024-03-11", "", ""],
        ["L5", "T1", "1", "A-01", "5421", "2024-03-11", "", ""],
        ["L6", "T1", "1", "A-01", "", "11.3.2024", "", ""],
        ["L7", "T1", "1", "A-01", "", "2027-03-11", "", ""],
        ["L8", "T1", "1", "A-01", "", "2024-03-11", "buffed", ""],
        ["L9", "T1", "1", "A-01", "", "2024-03-11", "new", "3"],
        ["LA", "T1", "1", "A-01", "", "2024-03-11", "", ""],
        ["la", "T1", "1", "A-01", "", "2024-03-11", "", ""],
    )  # fmt: skip
    assert [words.split(":")[0] for words in told] == [
        "row 2, SKU",
        "row 3, quantity",
        "row 4, quantity",
        "row 5, place",
        "row 6, date code",
        "row 7, received on",
        "row 8, received on",
        "row 9, condition",
        "row 10, buffed to mm",
        "row 12, place",
    ]
    assert "5421" in told[4]
    assert "still to come" in told[6]
    assert "row 11 is about the same" in told[9]
    assert not Lot.objects.exists()


def test_a_date_code_of_the_future_is_refused():
    (words,) = wrong("opening-stock", SHORT, ["L1", "T1", "1", "A-01", "1426", "2024-03-11"])
    assert words.startswith("row 2, date code: ")


def test_a_date_code_that_lost_its_nought_is_refused():
    data = xlsx_file(SHORT, ["L1", "T1", 1, "A-01", 523, date(2024, 3, 11)])
    (words,) = wrong("opening-stock", data=data)
    assert words.startswith("row 2, date code: “523” was kept as a number, so that noughts")


def test_numbers_and_days_of_a_workbook():
    data = xlsx_file(SHORT, ["L1", "T1", 8.0, "A-01", 1423, date(2024, 3, 11)])
    load(sheet_named("opening-stock"), data, by=UserFactory(), at=AT)
    assert Lot.objects.get().date_code == "1423"
    assert Balance.objects.get().on_hand == 8


class TestOnce:
    ROW = ["L1", "T1", "8", "A-01", "1423", "2024-03-11"]

    def test_the_same_file_posts_nothing(self):
        loaded("opening-stock", SHORT, self.ROW)
        done = loaded("opening-stock", SHORT, self.ROW)
        assert done.earlier is not None
        assert LedgerLine.objects.count() == 1

    def test_the_same_file_with_its_calendar_moved_posts_nothing(self):
        loaded("opening-stock", SHORT, self.ROW)
        assert loaded("opening-stock", SHORT, self.ROW, shift=Shift(weeks=9)).earlier
        assert Balance.objects.get().on_hand == 8

    def test_a_lot_that_is_there_already_is_not_booked_again_by_another_file(self):
        loaded("opening-stock", SHORT, self.ROW)
        (words,) = wrong("opening-stock", SHORT, ["L1", "T1", "9", "A-01", "1423", "2024-03-11"])
        assert words.startswith("row 2, lot: Lot L1 is there already, and a lot never changes")


def test_the_calendar_moves_day_and_date_code_together():
    loaded("opening-stock", SHORT, ["L1", "T1", "8", "A-01", "1423", "2024-03-11"],
           shift=Shift(weeks=10))  # fmt: skip
    lot = Lot.objects.get()
    assert (lot.date_code, lot.received_on) == ("2423", date(2024, 5, 20))


def test_seven_hundred_lots_are_booked_in_seconds():
    rows = [[f"L{n}", "T1", "4", "A-01", "1423", "2024-03-11"] for n in range(700)]
    start = time.monotonic()
    assert loaded("opening-stock", SHORT, *rows).new == 700
    assert time.monotonic() - start < 15  # seconds; well under three on a machine of its own
    assert sum(Balance.objects.values_list("on_hand", flat=True)) == 2800
    assert Posting.objects.count() == 700


@pytest.mark.django_db(transaction=True)
def test_five_people_send_the_same_stock_and_it_is_booked_once():
    by, data = UserFactory(), csv_file(SHORT, ["L1", "T1", "8", "A-01", "1423", "2024-03-11"])
    sheet = sheet_named("opening-stock")
    done = at_once(*[lambda: load(sheet, data, by=by, at=AT)] * 5)
    assert sorted(one.new for one in done) == [0, 0, 0, 0, 1]
    assert Balance.objects.get().on_hand == 8
