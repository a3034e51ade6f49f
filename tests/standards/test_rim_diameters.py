"""Nominal rim diameters d by rim code: UN R30 paragraph 2.21 and UN R54, from memory.

The regulation's text was not read; the values follow the rule 25.4 x code, rounded to 1 mm, and
the list below was written down apart from the table in the package. Which millimetre marks name
inch rims is from memory; that half codes have another bead seat is common practice, no source.
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

import pytest

from inventory.markings import rim_from, rims_match
from inventory.markings.tables import rows

D_MM = {
    **{"8": 203, "9": 229, "10": 254, "11": 279, "12": 305, "13": 330, "14": 356, "15": 381},
    **{"16": 406, "17": 432, "18": 457, "19": 483, "20": 508, "21": 533, "22": 559, "23": 584},
    **{"24": 610, "25": 635, "26": 660, "28": 711, "30": 762},
    **{"14.5": 368, "16.5": 419, "17.5": 445, "19.5": 495, "20.5": 521, "22.5": 572, "24.5": 622},
}
METRIC = [315, 340, 365, 390, 415]
NAMED_OTHERWISE = {330: 13, 355: 14, 380: 15}


@pytest.mark.parametrize(("code", "d_mm"), D_MM.items())
def test_the_diameter_of_an_inch_code(code, d_mm):
    assert rim_from(code).diameter_mm == d_mm
    assert Decimal(d_mm) == (Decimal("25.4") * Decimal(code)).quantize(Decimal(1), ROUND_HALF_UP)


def test_the_table_has_these_codes_and_no_others():
    assert {r["mark"] for r in rows("rims") if r["unit"] == "in"} == set(D_MM)
    marks = {int(r["mark"]) for r in rows("rims") if r["unit"] == "mm"}
    assert marks == {*METRIC, 400, *NAMED_OTHERWISE}
    assert all(r["source"] for r in rows("rims"))


@pytest.mark.parametrize("mark", [*METRIC, 400])
def test_a_millimetre_rim_has_its_own_diameter_and_meets_no_inch_rim(mark):
    assert rim_from(mark).diameter_mm == mark
    assert not any(rims_match(mark, code) for code in D_MM)


@pytest.mark.parametrize(("mark", "code"), NAMED_OTHERWISE.items())
def test_an_old_millimetre_mark_names_an_inch_rim(mark, code):
    assert rims_match(mark, code)
    assert [c for c in D_MM if rims_match(mark, c)] == [str(code)]


@pytest.mark.parametrize("half", [c for c in D_MM if c.endswith(".5")])
def test_a_half_code_meets_no_whole_code(half):
    assert not any(rims_match(half, code) for code in D_MM if code != half)


def test_390_is_neither_15_nor_16():
    """390 mm is 15.35 in: between the two, and interchangeable with neither."""
    assert not rims_match(15, 390)
    assert not rims_match(16, 390)
