"""What goes with tyres, from a spreadsheet."""

from __future__ import annotations

import pytest

from inventory.models.companion import Companion, Need, RimKind
from tests.factories.catalogue import SkuFactory
from tests.ground.sheet_loads import loaded, wrong

pytestmark = pytest.mark.django_db

HEADINGS = ["tyre", "size", "rim", "valve", "companion", "need", "pieces per tyre", "source"]


@pytest.fixture(autouse=True)
def skus():
    SkuFactory(code="TUBE", kind="tube", size_text="")
    SkuFactory(code="TAPE", kind="rim_tape", size_text="")
    SkuFactory(code="TYRE")


def test_rows():
    loaded(
        "companions", HEADINGS,
        ["", "560x15", "spoked", "rubber", "tube", "must", "1", "chart 14"],
        ["", "5.60-15", "spoked", "", "TAPE", "may", "2", ""],
        ["tyre", "", "", "", "TUBE", "must not", "", ""],
    )  # fmt: skip
    by_size, tape, by_tyre = Companion.objects.order_by("pk")
    assert (by_size.size_text, by_size.size_key, by_size.tyre) == ("560x15", "5.60-15 D", None)
    assert (by_size.rim_kind, by_size.valve, by_size.need) == (RimKind.SPOKED, "rubber", Need.MUST)
    assert (tape.per_tyre, tape.need) == (2, Need.MAY)
    assert (by_tyre.tyre.code, by_tyre.need, by_tyre.per_tyre) == ("TYRE", Need.MUST_NOT, 1)


def test_a_row_is_known_by_the_size_however_it_is_written():
    loaded("companions", HEADINGS, ["", "5.60-15", "", "", "TUBE", "must", "", ""])
    again = loaded("companions", HEADINGS, ["", "560x15", "", "", "TUBE", "may", "", ""])
    assert (again.new, again.changed) == (0, 1)
    assert Companion.objects.get().need == Need.MAY


def test_one_size_written_in_two_ways_in_one_sheet():
    assert wrong(
        "companions", HEADINGS,
        ["", "5.60-15", "", "", "TUBE", "must", "", ""],
        ["", "560x15", "", "", "TUBE", "may", "", ""],
    ) == ["row 3, companion: This companion is there already for this rim and valve."]  # fmt: skip


def test_rows_that_cannot_be():
    assert wrong(
        "companions", HEADINGS,
        ["TYRE", "5.60-15", "", "", "TUBE", "must", "", ""],
        ["", "", "", "", "TUBE", "must", "", ""],
        ["", "5.60-15", "", "", "TYRE", "must", "", ""],
        ["", "6.40-13", "", "", "TUBE", "must", "9", ""],
        ["", "round", "", "", "TUBE", "must", "", ""],
    )[:4] == [
        "row 2: Name either one tyre or one size, not both.",
        "row 3: Name either one tyre or one size, not both.",
        "row 4, companion: TYRE is a tyre, not what goes with one.",
        "row 5, pieces per tyre: A tyre takes one to four of a companion.",
    ]  # fmt: skip
