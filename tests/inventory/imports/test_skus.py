"""SKUs from a spreadsheet."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from inventory.ground.sheets.loading import check, load
from inventory.ground.sheets.registry import sheet_named
from inventory.ground.sheets.shifting import Shift
from inventory.imports.sku_columns import type_approval
from inventory.models.sku import Hand, Sidewall, Sku, SkuKind, SkuStatus, TubeType
from tests.factories.catalogue import CompoundFactory, PatternFactory
from tests.factories.people import UserFactory
from tests.factories.when import AT, TODAY
from tests.ground.sheet_files import csv_file, xlsx_file
from tests.ground.sheet_loads import loaded, wrong
from tests.support.counting import queries_of

pytestmark = pytest.mark.django_db

SHORT = ["code", "maker", "pattern", "size"]


@pytest.fixture(autouse=True)
def cairnway():
    pattern = PatternFactory(name="Cairnway", maker__code="TARN", maker__name="Tarnbeck")
    CompoundFactory(code="q4", maker=pattern.maker)
    return pattern


def rows_of(count, **cells):
    sizes = ["185/70 R 15 89V", "165 SR 15", "5.60-15", "6.40-13", "205/70 VR 15"]
    return [
        [f"S{number}", "TARN", "Cairnway", cells.get("size", sizes[number % len(sizes)])]
        for number in range(count)
    ]


def test_a_row_with_everything():
    cells = {
        "code": "T-1", "kind": "tyre", "maker": "tarn", "pattern": "cairnway", "compound": "Q4",
        "size": "185/70 vr 15", "rim width from in": "4.5", "rim width to in": "6",
        "overall diameter mm": "642.5", "load kg": "560", "load pressure kPa": "250",
        "top speed km/h": "235", "mark": "HLM", "mark issue": "2", "tube": "Tubeless",
        "axle": "rear axle only", "hand": "left", "ply": "4", "sidewall": "white band",
        "band mm": "40", "type approvals": "ECE-R30 E4 0212345; US-DOT 7X",
        "GTINs": "4006381333931",
        "weight kg": "8.4", "price": "214.00", "currency": "EUR", "status": "last stock",
        "expected on": "2026-12-01", "note": "the last of them",
    }  # fmt: skip
    loaded("skus", list(cells), list(cells.values()))
    sku = Sku.objects.get()
    assert (sku.size, sku.speed_in_size, sku.top_speed_kmh) == ("185/70 VR 15", "V", None)
    assert (sku.rim_width_min_in, sku.rim_width_max_in) == (Decimal("4.5"), Decimal(6))
    assert (sku.overall_mm, sku.stated_overall_mm) == (Decimal("642.5"), Decimal("642.5"))
    assert (sku.max_load_kg, sku.load_pressure_kpa, sku.maker_top_speed_kmh) == (560, 250, 235)
    assert (sku.mark, sku.mark_issue, sku.tube) == ("HLM", "2", TubeType.TUBELESS)
    assert (sku.axle_only, sku.hand, sku.ply) == ("rear", Hand.LEFT, 4)
    assert (sku.sidewall, sku.band_mm) == (Sidewall.WHITE_BAND, 40)
    assert [str(one) for one in sku.type_approvals.all()] == ["ECE-R30 E4 0212345", "US-DOT 7X"]
    assert sku.gtins.get().number == "04006381333931"
    assert (sku.weight_kg, sku.price, sku.currency) == (Decimal("8.4"), Decimal(214), "EUR")
    assert (sku.status, sku.expected_on) == (SkuStatus.LAST_STOCK, date(2026, 12, 1))
    assert sku.compound.code == "q4"


def test_an_empty_cell_is_the_default_of_its_column():
    loaded("skus", [*SHORT, "kind", "currency", "status", "sidewall", "price"],
           ["A", "TARN", "Cairnway", "165 R 15", "", "", "", "", ""])  # fmt: skip
    sku = Sku.objects.get()
    assert (sku.kind, sku.currency, sku.status) == (SkuKind.TYRE, "GBP", SkuStatus.CURRENT)
    assert (sku.sidewall, sku.price) == (Sidewall.BLACK, None)


def test_loading_again_changes_nothing_and_leaves_no_history():
    rows = (SHORT, *rows_of(10))
    loaded("skus", *rows)
    assert loaded("skus", *rows).same == 10
    assert Sku.history.count() == 10


def test_what_changed_is_told_without_the_columns_that_follow():
    loaded("skus", SHORT, ["A", "TARN", "Cairnway", "165 SR 15"])
    done = loaded("skus", SHORT, ["A", "TARN", "Cairnway", "165 HR 15"])
    told = [str(change) for change in done.changes]
    assert "row 2, A: size as typed “165 SR 15” → “165 HR 15”" in told


def test_only_the_numbers_changed_is_a_change():
    headings = [*SHORT, "GTINs"]
    loaded("skus", headings, ["A", "TARN", "Cairnway", "165 SR 15", "4006381333931"])
    done = loaded("skus", headings, ["A", "TARN", "Cairnway", "165 SR 15", "6291041500213"])
    assert (done.changed, done.same) == (1, 0)
    assert loaded("skus", headings, ["A", "TARN", "Cairnway", "165 SR 15", "6291041500213"]).same


def test_every_row_is_told():
    assert wrong(
        "skus",
        [*SHORT, "GTINs", "price", "expected on", "tube", "type approvals"],
        ["A", "TARN", "Cairnway", "165 R 51", "", "", "", "", ""],
        ["B", "TARN", "Fell", "165 R 15", "", "", "", "", ""],
        ["C", "", "Cairnway", "165 R 15", "", "", "", "", ""],
        ["D", "TARN", "Cairnway", "165 R 15", "4006381333932", "", "", "", ""],
        ["E", "TARN", "Cairnway", "165 R 15", "", "1,50", "", "", ""],
        ["F", "TARN", "Cairnway", "165 R 15", "", "", "12/01/2026", "", ""],
        ["G", "TARN", "Cairnway", "165 R 15", "", "", "", "perhaps", ""],
        ["H", "TARN", "Cairnway", "165 R 15", "", "", "", "", "R30"],
        ["a", "TARN", "Cairnway", "165 R 15", "", "", "", "", ""],
        ["I", "TARN", "", "165 R 15", "", "-1", "", "", ""],
    ) == [
        "row 2, size: “165 R 51” cannot be read at “51”: a rim diameter in inches (8 to 24, or a "
        "half code such as 16.5) was expected; did you mean 165 R 15?",
        "row 3, pattern: there is no pattern “Fell” of Tarnbeck.",
        "row 4, maker: this cell is empty, and is needed.",
        "row 4, pattern: “Cairnway” needs its maker beside it.",
        "row 5, GTINs: “4006381333932” is not a valid article number: after 400638133393 the last "
        "figure is 1, not 2. A figure was misread, or two changed places.",
        "row 6, price: “1,50” has a comma: write “1.50” if that is meant.",
        "row 7, expected on: “12/01/2026” is not a day written as year-month-day, such as "
        "2026-03-01 for the first of March.",
        "row 8, tube: “perhaps” is none of: tube-type, tubeless, a tube allowed, tubeless, a tube "
        "refused, not stated.",
        "row 9, type approvals: “R30” wants a scheme and a number, such as “ECE-R30 0212345”.",
        "row 10, code: row 2 is about the same already: keep one of the two.",
        "row 11, pattern: A tyre needs its pattern.",
    ]  # fmt: skip


def test_a_number_cell_that_is_a_code_is_a_code():
    data = xlsx_file(SHORT, [1001, "TARN", "Cairnway", "165 R 15"])
    load(sheet_named("skus"), data, by=UserFactory(), at=AT)
    assert Sku.objects.get().code == "1001"


def test_a_gtin_in_a_number_cell_keeps_its_figures():
    data = xlsx_file([*SHORT, "GTINs"], ["A", "TARN", "Cairnway", "165 R 15", 4006381333931])
    load(sheet_named("skus"), data, by=UserFactory(), at=AT)
    assert Sku.objects.get().gtins.get().number == "04006381333931"


def test_a_real_date_of_a_workbook_is_a_day():
    data = xlsx_file(
        [*SHORT, "expected on"], ["A", "TARN", "Cairnway", "165 R 15", date(2027, 2, 1)]
    )
    load(sheet_named("skus"), data, by=UserFactory(), at=AT)
    assert Sku.objects.get().expected_on == date(2027, 2, 1)


def test_what_is_expected_moves_with_the_calendar():
    loaded("skus", [*SHORT, "expected on"], ["A", "TARN", "Cairnway", "165 R 15", "2026-12-01"],
           shift=Shift(weeks=10))  # fmt: skip
    assert Sku.objects.get().expected_on == date(2027, 2, 9)


@pytest.mark.parametrize(
    ("cell", "read"),
    [("R30 E4 12", ("R30", "E4 12")), ("ECE-R30  0212345", ("ECE-R30", "0212345"))],
)
def test_a_type_approval(cell, read):
    assert type_approval(cell) == read


def test_queries_do_not_grow_with_the_rows():
    sheet, by = sheet_named("skus"), UserFactory()

    def asked(first, count):
        rows = [[f"N{first + n}", "TARN", "Cairnway", "165 R 15"] for n in range(count)]
        return queries_of(lambda: load(sheet, csv_file(SHORT, *rows), by=by, at=AT))

    assert asked(0, 10) == asked(100, 200)


def test_five_thousand_rows_are_checked_and_loaded():
    headings = [*SHORT, "price"]
    rows = [[*row, str(100 + number % 50)] for number, row in enumerate(rows_of(5000))]
    data = csv_file(headings, *rows)
    assert check(sheet_named("skus"), data, on=TODAY).new == 5000
    assert load(sheet_named("skus"), data, by=UserFactory(), at=AT).new == 5000
    assert Sku.objects.filter(size="185/70 R 15 89V").count() == 1000
    assert Sku.history.count() == 5000


def test_one_wrong_row_of_five_thousand_is_found_and_nothing_loaded():
    rows = rows_of(5000)
    rows[4321][3] = "round"
    (words,) = wrong("skus", SHORT, *rows)
    assert words.startswith("row 4323, size: “round” cannot be read")
    assert not Sku.objects.exists()
