"""Any cells at all, by chance: a sheet is loaded or refused in sentences, and never half."""

from __future__ import annotations

import random
import string

import pytest
from django.db import transaction

from inventory.ground.models import SheetLoad
from inventory.ground.refusal import Refusal
from inventory.ground.sheets.loading import check, load
from inventory.ground.sheets.problems import SheetRefused, UnreadableSheet
from inventory.ground.sheets.registry import every_sheet
from tests.factories.approvals import EvidenceFactory
from tests.factories.catalogue import SkuFactory
from tests.factories.people import UserFactory
from tests.factories.when import AT, TODAY
from tests.ground.sheet_files import csv_file, xlsx_file

pytestmark = pytest.mark.django_db

# What people type, in the right column and in every other.
CELLS = [
    "", " ", "0", "1", "-1", "2", "15", "1.5", "1,5", "99999999999999999999", "1e9", "NaN", "½",
    "yes", "no", "maybe", "both", "front", "rear", "tyre", "tube", "must", "new", "buffed", "road",
    "2026-03-01", "2026-02-30", "01/03/2026", "0001-01-01", "9999-12-31", "1964", "5223", "0000",
    "185/70 R 15 89V", "5.60-15", "155-15", "820x120", "round", "4006381333931", "40063813339",
    "HS 1-9", "HS 9-1", "R30 E4 12", ";", ";;;", "a;b;c", "A", "B", "=1+1", "'=1", "@x", "-",
    "a\nb", "a\tb", "a\x07b", "\u202eabc", "\ufeff", "日本", "≋", "ß", "İ", "ǅ", "x" * 5000, "%s",
    "{}", "None", "null", "'; DROP TABLE x; --", "<script>", "\\", '"', "EV-1", "T1", "TARN",
]  # fmt: skip


def example(sheet):
    return [column.example for column in sheet.columns]


def headings(sheet):
    return [column.heading for column in sheet.columns]


@pytest.fixture(scope="module", autouse=True)
def house(django_db_setup, django_db_blocker):
    """The example row of every sheet, so that examples with a cell or two changed come far. Loaded
    once for all tests here, in a transaction that is rolled back after the last."""
    with django_db_blocker.unblock(), transaction.atomic():
        by = UserFactory()
        SkuFactory(code="TUBE-56015", kind="tube", size_text="")
        SkuFactory(code="TARN-CW-2056015")
        EvidenceFactory(code="EV-002", test_report=True)
        for sheet in every_sheet().values():
            load(sheet, csv_file(headings(sheet), example(sheet)), by=by, at=AT)
        SheetLoad.objects.all().delete()
        yield
        transaction.set_rollback(True)


def some_row(sheet, dice):
    """The example with none, one, two or three of its cells changed."""
    row = example(sheet)
    for place in dice.sample(range(len(row)), min(dice.choice([0, 1, 1, 1, 2, 3]), len(row))):
        row[place] = dice.choice(CELLS)
    return row


def some_rows(sheet, dice, count):
    return [headings(sheet), *(some_row(sheet, dice) for _ in range(count))]


def test_the_examples_of_all_sheets_make_one_house():
    assert every_sheet()["approvals"].model.objects.count() == 2
    for sheet in every_sheet().values():
        if not sheet.once:
            done = check(sheet, csv_file(headings(sheet), example(sheet)), on=TODAY)
            assert (done.new, done.changed) == (0, 0), sheet.name


@pytest.mark.parametrize("seed", range(2))
@pytest.mark.parametrize("sheet", every_sheet().values(), ids=lambda sheet: sheet.name)
def test_loaded_or_refused_in_sentences(sheet, seed):
    dice = random.Random(f"{sheet.name} {seed}")
    data = csv_file(*some_rows(sheet, dice, 4))
    before = sheet.model.objects.count()
    try:
        done = load(sheet, data, by=UserFactory(), at=AT)
    except Refusal as refusal:
        told = [str(refusal), *map(str, getattr(refusal, "shown", ()))]
        assert all(words and words[-1] in ".?" for words in told), told
        assert sheet.model.objects.count() == before
        assert not SheetLoad.objects.exists()
    else:
        assert done.rows == 4


# Whether the SKUs of a production batch are as before is found out when they are written, so a
# check may call a row unchanged that a load then changes.
FORETOLD = [sheet for sheet in every_sheet().values() if sheet.name != "production-batches"]


@pytest.mark.parametrize("seed", range(1))
@pytest.mark.parametrize("sheet", FORETOLD, ids=lambda sheet: sheet.name)
def test_one_row_at_a_time_finds_what_is_sound(sheet, seed):
    """A row that a check lets pass is loaded as it said; the database has nothing to add."""
    dice = random.Random(f"{sheet.name} alone {seed}")
    by, loaded = UserFactory(), 0
    for row in [example(sheet), *(some_row(sheet, dice) for _ in range(12))]:
        data = csv_file(headings(sheet), row)
        try:
            said = check(sheet, data, on=TODAY)
        except (SheetRefused, UnreadableSheet):
            continue
        done = load(sheet, data, by=by, at=AT, once=False)
        assert (done.new, done.changed, done.same) == (said.new, said.changed, said.same)
        loaded += 1
    assert loaded or sheet.once  # a lot that is there already is refused


@pytest.mark.parametrize("seed", range(40))
def test_any_bytes_at_all(seed):
    dice = random.Random(seed)
    data = dice.randbytes(dice.randint(0, 400))
    start = dice.choice([b"", b"PK\x03\x04", b"\xef\xbb\xbf", b"\xff\xfe", b"code,name\n"])
    with pytest.raises((SheetRefused, UnreadableSheet)):
        check(every_sheet()["suppliers"], start + data, on=TODAY)


@pytest.mark.parametrize("seed", range(5))
def test_any_printable_text_as_a_workbook_and_as_csv_comes_to_the_same(seed):
    dice = random.Random(seed)
    letters = string.ascii_letters + string.digits + " .,;:/-()&'éø日"
    rows = [
        [f"S{number}", "".join(dice.choices(letters, k=dice.randint(1, 30))).strip() or "x"]
        for number in range(5)
    ]
    sheet = every_sheet()["suppliers"]
    assert outcome(sheet, csv_file(["code", "name"], *rows)) == outcome(
        sheet, xlsx_file(["code", "name"], *rows)
    )


def outcome(sheet, data):
    try:
        done = check(sheet, data, on=TODAY)
    except SheetRefused as refusal:
        return [str(problem) for problem in refusal.problems]
    return done.new, done.same
