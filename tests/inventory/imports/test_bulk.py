"""What a sheet enters in bulk is what the same rows come to one by one; and many at once."""

from __future__ import annotations

import random
from decimal import Decimal

import pytest

from inventory.activities.cataloguing import make_pattern, make_sku
from inventory.ground.entries.writing import columns_of
from inventory.ground.refusal import Refusal
from inventory.ground.sheets.loading import check, load
from inventory.ground.sheets.registry import sheet_named
from inventory.models.maker import Pattern, TyreMaker
from inventory.models.sku import Gtin, Sku
from tests.factories.catalogue import PatternFactory, TyreMakerFactory
from tests.factories.people import UserFactory
from tests.factories.when import AT, TODAY
from tests.ground.sheet_files import csv_file, xlsx_file
from tests.ground.sheet_loads import loaded, wrong
from tests.support.concurrency import at_once

pytestmark = pytest.mark.django_db

SIZES = [
    "185/70 R 15 89V", "165 SR 15", "5.60-15 4PR TT", "155-15", "205/70 VR 15", "FR70-14",
    "165 R 400", "20/54-13", "185-14/7.35-14", "820x120", "185 R 14 C 102/100 R", "P205/75 R 15",
]  # fmt: skip
SKUS = ["code", "maker", "pattern", "size", "price", "GTINs", "type approvals"]


def some_skus():
    return [
        [
            f"S{number}",
            "TARN",
            "Cairnway",
            size,
            str(100 + number),
            "4006381333931",
            f"R30 E4 {number}",
        ]
        for number, size in enumerate(SIZES)
    ]


def seen(model):
    """Rows without what the database numbered by itself."""
    return [
        {
            name: value
            for name, value in columns_of(row).items()
            if name not in ("maker_id", "pattern_id")
        }
        for row in model.objects.order_by("code")
    ]


def test_skus_in_bulk_are_as_skus_one_by_one():
    pattern, by = PatternFactory(name="Cairnway", maker__code="TARN"), UserFactory()
    for code, _, _, size, price, gtin, approval in some_skus():
        scheme, _, number = approval.partition(" ")
        make_sku(
            code=code, maker=pattern.maker, pattern=pattern, size_text=size, price=Decimal(price),
            gtins=[gtin], type_approvals=[(scheme, number)], by=by, at=AT,
        )  # fmt: skip
    one_by_one = seen(Sku)
    history = list(
        Sku.history.order_by("code").values("code", "size", "history_type", "history_user")
    )
    # history stands, and the rows go, so that the sheet enters them anew
    Gtin.objects.all().delete()
    Sku.objects.all().delete()
    Sku.history.all().delete()
    loaded("skus", SKUS, *some_skus(), by=by)
    assert seen(Sku) == one_by_one
    kept = Sku.history.order_by("code").values("code", "size", "history_type", "history_user")
    assert list(kept) == history
    assert Gtin.objects.get().skus.count() == len(SIZES)


def test_patterns_in_bulk_are_as_patterns_one_by_one():
    maker, by = TyreMakerFactory(code="TARN"), UserFactory()
    make_pattern(maker=maker, name="Fell", introduced=1961, tread="directional", by=by, at=AT)
    alone = columns_of(Pattern.objects.get())
    Pattern.objects.all().delete()
    loaded(
        "patterns",
        ["maker", "name", "introduced", "tread"],
        ["TARN", "Fell", "1961", "Directional"],
    )
    assert columns_of(Pattern.objects.get()) == alone


@pytest.mark.parametrize("seed", range(5))
def test_the_order_of_rows_does_not_matter(seed):
    PatternFactory(name="Cairnway", maker__code="TARN")
    rows = some_skus()
    random.Random(seed).shuffle(rows)
    loaded("skus", SKUS, *rows)
    assert [sku.code for sku in Sku.objects.order_by("code")] == sorted(row[0] for row in rows)
    assert loaded("skus", SKUS, *some_skus()).same == len(SIZES)


def test_two_halves_come_to_the_whole():
    PatternFactory(name="Cairnway", maker__code="TARN")
    rows = some_skus()
    loaded("skus", SKUS, *rows[:5])
    done = loaded("skus", SKUS, *rows)
    assert (done.new, done.same) == (len(rows) - 5, 5)


def test_columns_in_any_order_come_to_the_same():
    PatternFactory(name="Cairnway", maker__code="TARN")
    rows = [SKUS, *some_skus()]
    loaded("skus", *rows)
    turned = [row[::-1] for row in rows]
    assert loaded("skus", *turned).same == len(SIZES)


def test_a_workbook_and_a_text_file_come_to_the_same():
    PatternFactory(name="Cairnway", maker__code="TARN")
    rows = [SKUS, *some_skus()]
    load(sheet_named("skus"), xlsx_file(*rows), by=UserFactory(), at=AT)
    assert check(sheet_named("skus"), csv_file(*rows), on=TODAY).same == len(SIZES)


@pytest.mark.django_db(transaction=True)
def test_eight_sheets_over_the_same_skus_end_without_a_deadlock():
    """Each in another order of rows, each with another price: locks are taken in one order."""
    PatternFactory(name="Cairnway", maker__code="TARN")
    by = UserFactory()
    loaded("skus", SKUS, *some_skus(), by=by)

    def send(number):
        rows = [[*row[:4], str(number), *row[5:]] for row in some_skus()]
        random.Random(number).shuffle(rows)
        return loaded("skus", SKUS, *rows, by=by)

    answers = at_once(*[lambda number=number: send(number) for number in range(8)])
    assert all(one.changed == len(SIZES) for one in answers), answers
    assert len({sku.price for sku in Sku.objects.all()}) == 1  # one sheet, not a bit of each
    assert Sku.history.count() == 9 * len(SIZES)


@pytest.mark.django_db(transaction=True)
def test_a_sheet_of_new_rows_and_a_form_at_the_same_moment():
    maker, by = TyreMakerFactory(code="TARN"), UserFactory()
    data = csv_file(["maker", "name"], *[["TARN", f"P{number}"] for number in range(30)])
    answers = at_once(
        lambda: load(sheet_named("patterns"), data, by=by, at=AT),
        *[
            lambda n=n: make_pattern(maker=maker, name=f"P{n}", by=by, at=AT)
            for n in range(0, 30, 5)
        ],
    )
    refused = [one for one in answers if isinstance(one, Exception)]
    assert all(isinstance(one, Refusal) for one in refused), refused
    sheet = answers[0]
    assert Pattern.objects.count() == (
        30 if not isinstance(sheet, Exception) else 6 - len(refused) + 1
    )


@pytest.mark.django_db(transaction=True)
def test_a_reference_that_goes_meanwhile_leaves_nothing_half(someone_else):
    maker, by = TyreMakerFactory(code="TARN"), UserFactory()
    sheet = sheet_named("patterns")
    data = csv_file(["maker", "name"], ["TARN", "A"], ["TARN", "B"])

    def gone(step, rows):
        if step == "checked":
            someone_else(lambda: TyreMaker.objects.filter(pk=maker.pk).delete())

    with pytest.raises(Refusal) as refusal:
        load(sheet, data, by=by, at=AT, progress=gone)
    assert str(refusal.value).endswith(".")
    assert not Pattern.objects.exists()
    assert wrong("patterns", data=data) == [
        "row 2, maker: there is no tyre maker “TARN”.",
        "row 3, maker: there is no tyre maker “TARN”.",
    ]
