"""Opening stock: a lot read from what is told, with its tyres where they lie."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from inventory.activities.opening import LOTS, NotYetReceived, make_lot, open_lot
from inventory.ground.entries.faults import Faulty
from inventory.models.balance import Balance
from inventory.models.lot import Block, Lot
from inventory.models.posting import LedgerLine, Posting
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.stock import LotFactory
from tests.factories.when import AT
from tests.support.counting import queries_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def by():
    return UserFactory()


@pytest.fixture
def told():
    return {
        "code": "LOT-1",
        "sku": SkuFactory(),
        "date_code": "1425",
        "received_on": date(2025, 6, 2),
        "delivery": "D-77",
    }


@pytest.fixture
def opened(by, told):
    def call(**more):
        lies = {"place": PlaceFactory(), "quantity": 4}
        return open_lot(by=by, at=AT, **{**told, **lies, **more})

    return call


def refused(call, *words):
    """It is refused in these words, and nothing is left behind."""
    with pytest.raises(Faulty) as caught:
        call()
    for word in words:
        assert word in caught.value.sentence
    for model in (Lot, Posting, LedgerLine, Balance, Block):
        assert not model.objects.exists()
    return {fault.field for fault in caught.value.faults}


def test_a_lot_with_its_tyres(opened, by):
    place = PlaceFactory()
    found = opened(place=place, quantity=6, note="from the old book")
    lot = Lot.objects.get()
    assert found.lot == lot
    assert (lot.recorded_by, lot.recorded_at) == (by, AT)
    assert Balance.objects.get(lot=lot, place=place).on_hand == 6
    posting = Posting.objects.get()
    assert found.posting == posting
    assert (posting.kind, posting.document, posting.note) == (
        "opening",
        "D-77",
        "from the old book",
    )


def test_the_week_is_read_from_the_code(opened):
    lot = opened().lot
    lot.refresh_from_db()
    assert (lot.date_code, lot.first_day, lot.last_day) == (
        "1425",
        date(2025, 4, 6),
        date(2025, 4, 12),
    )
    assert lot.earliest < lot.first_day
    assert lot.latest > lot.last_day
    assert lot.week_index == LotFactory(date_code="1425").week_index


def test_no_code_at_all(opened):
    lot = opened(date_code="").lot
    assert (lot.date_code, lot.week_index, lot.first_day, lot.earliest) == ("", None, None, None)


def test_three_figures_leave_the_decade_open(opened):
    found = opened(date_code="148", received_on=date(2001, 3, 1))
    lot = Lot.objects.get()
    assert (lot.date_code, lot.week_index, lot.first_day) == ("148", None, None)
    assert lot.earliest < lot.latest
    assert any("decade" in warning for warning in found.warnings)


def test_a_whole_identification_number_gives_plant_and_date(opened):
    lot = opened(date_code="DOT XJ7R ABC 1425").lot
    assert lot.date_code == "1425"
    assert lot.plant
    assert lot.first_day == date(2025, 4, 6)


@pytest.mark.parametrize(
    "code", ["6025", "14255", "ab", "0025", "x" * 10_000, "１４２５x", "\x1d1425"]
)
def test_a_code_that_cannot_be_read(opened, code):
    assert refused(lambda: opened(date_code=code)) == {"date_code"}


def test_a_code_from_the_future(opened):
    assert refused(lambda: opened(date_code="4825")) == {"date_code"}


def test_what_was_not_looked_for_is_as_the_sku_says(opened):
    sku = SkuFactory(marked=True)
    lot = opened(sku=sku).lot
    assert (lot.mark, lot.mark_issue) == ("HLM", "2")
    lot = opened(code="LOT-2", sku=sku, mark=None).lot
    assert (lot.mark, lot.mark_issue) == ("HLM", "2")


@pytest.mark.parametrize(
    ("seen", "mark", "issue"),
    [
        ({"mark": ""}, "", ""),
        ({"mark": "HLM"}, "HLM", "2"),
        ({"mark": "HLM", "mark_issue": "1"}, "HLM", "1"),
        ({"mark": "QRT"}, "QRT", ""),
    ],
)
def test_what_was_seen_on_the_sidewall_stands(opened, seen, mark, issue):
    lot = opened(sku=SkuFactory(marked=True), **seen).lot
    assert (lot.mark, lot.mark_issue) == (mark, issue)


def test_not_ours(opened):
    customer = CustomerFactory()
    lot = opened(owner="customer", owner_customer=customer).lot
    assert lot.owner_customer == customer


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({"owner": "customer"}, "owner"),
        ({"owner": "nobody"}, "owner"),
        ({"condition": "buffed"}, "condition"),
        ({"buffed_to_mm": Decimal("4.0")}, "buffed_to_mm"),
        ({"condition": "worn out"}, "condition"),
        ({"sku": None}, "sku"),
        ({"received_on": None}, "received_on"),
        ({"code": ""}, "code"),
        ({"code": "x" * 21}, "code"),
        ({"code": "LOT\t1"}, "code"),
        ({"mark": "", "mark_issue": "2"}, "mark_issue"),
        ({"unit_cost": "much"}, "unit_cost"),
        ({"place": None}, "place"),
        ({"quantity": 0}, "quantity"),
        ({"quantity": -1}, "quantity"),
        ({"quantity": 2.5}, "quantity"),
        ({"quantity": 10**9}, "quantity"),
        ({"quantity": None}, "quantity"),
        ({"blocked": "dusty"}, "blocked"),
    ],
)
def test_what_cannot_be(opened, more, field):
    assert field in refused(lambda: opened(**more))


def test_every_reason_is_told_at_once(opened):
    fields = refused(lambda: opened(quantity=0, blocked="dusty", date_code="6025"))
    assert fields == {"quantity", "blocked", "date_code"}


def test_a_lot_is_entered_once(opened):
    opened()
    before = Lot.objects.values().get()
    with pytest.raises(Faulty, match="Lot lot-1 is there already, and a lot never changes"):
        opened(code="lot-1", date_code="1525")
    assert Lot.objects.values().get() == before
    assert Posting.objects.count() == 1


def test_not_before_it_is_received(opened):
    with pytest.raises(NotYetReceived, match="received on 2026-11-24 only"):
        opened(received_on=date(2026, 11, 24))
    assert not Lot.objects.exists()


def test_blocked_from_the_start(opened, by):
    lot = opened(blocked="to_be_checked", note="sidewall scuffed").lot
    block = Block.objects.get(lot=lot)
    assert (block.reason, block.note, block.placed_by) == ("to_be_checked", "sidewall scuffed", by)


class TestManyRows:
    @pytest.fixture
    def rows(self, told):
        places = PlaceFactory.create_batch(3)
        return [
            {**told, "code": f"LOT-{number}", "place": places[number % 3], "quantity": number}
            for number in range(1, 7)
        ]

    def test_one_posting_a_lot(self, rows, by):
        LOTS.enter(rows, by=by, at=AT)
        assert Posting.objects.count() == 6
        assert sum(Balance.objects.values_list("on_hand", flat=True)) == 21

    def test_one_lot_in_two_places(self, rows, by):
        rows[1] = {**rows[0], "place": rows[1]["place"], "quantity": 5}
        entries = LOTS.enter(rows, by=by, at=AT)
        assert entries[0].row is entries[1].row
        assert Lot.objects.count() == 5
        lot = Lot.objects.get(code="LOT-1")
        assert sorted(lot.lines.values_list("on_hand_change", flat=True)) == [1, 5]
        assert lot.lines.values("posting").distinct().count() == 1

    @pytest.mark.parametrize(
        ("second", "field"),
        [({"date_code": "1525"}, "code"), ({"place": None}, "place"), ({}, "place")],
    )
    def test_one_lot_told_in_two_ways(self, rows, by, second, field):
        rows[1] = {**rows[0], **second}
        entries = LOTS.plan(rows)
        assert field in {fault.field for fault in entries[1].faults}
        assert not entries[0].faults
        refused(lambda: LOTS.enter(rows, by=by, at=AT))

    def test_one_bad_row_stops_them_all(self, rows, by):
        rows[4]["date_code"] = "7777"
        entries = LOTS.plan(rows)
        assert [bool(entry.faults) for entry in entries] == [False] * 4 + [True, False]
        refused(lambda: LOTS.enter(rows, by=by, at=AT))

    def test_planning_writes_nothing(self, rows):
        assert not any(entry.faults for entry in LOTS.plan(rows))
        assert not Lot.objects.exists()

    def test_planning_asks_as_often_for_twice_the_rows(self, rows):
        assert queries_of(lambda: LOTS.plan(rows)) == queries_of(lambda: LOTS.plan(rows[:3]))

    def test_a_block_for_a_lot_in_two_places_stands_once(self, rows, by):
        rows[0]["blocked"] = "recall"
        rows[1] = {**rows[0], "place": rows[1]["place"]}
        LOTS.enter(rows, by=by, at=AT)
        assert Block.objects.count() == 1


class TestMakeLot:
    def test_a_lot_without_tyres(self, told, by):
        lot = make_lot(by=by, at=AT, **told)
        assert Lot.objects.get() == lot
        assert not Posting.objects.exists()
        assert lot.first_day == date(2025, 4, 6)

    def test_refused_as_any(self, told, by):
        refused(lambda: make_lot(by=by, at=AT, **{**told, "date_code": "6025"}), "date code")
        make_lot(by=by, at=AT, **told)
        with pytest.raises(Faulty, match="there already"):
            make_lot(by=by, at=AT, **told)
