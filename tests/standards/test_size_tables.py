"""Every size row that is held, against UN R30: overall diameter, section width, their limits.

The rows of Annex 5 Tables I and II are from memory (the text was not read), and so are the formula
(6.1.1, 6.1.2), the tolerances (6.1.4, 6.1.5) and the measuring rims; rows marked "computed" follow
from the formula. Each row of the data says which it is.
"""

import csv
from pathlib import Path

import pytest

from inventory.markings.geometry import (
    NotDerivable,
    overall_diameter,
    permitted_rim_widths,
    section_width,
)
from inventory.markings.rims import rim_of
from inventory.markings.size import read_size

DATA = Path(__file__).parent / "data"


def rows(name):
    return list(csv.DictReader((DATA / name).read_text(encoding="utf-8").splitlines()))


SIZES, LIMITS = rows("r30_sizes.csv"), rows("r30_derived.csv")
TABLED = [row for row in SIZES if row["table"].startswith("I")]
by_name = pytest.mark.parametrize("row", SIZES, ids=lambda row: row["designation"])


def test_every_row_says_where_it_is_from():
    assert len(SIZES) == len(LIMITS) == 121
    assert len(TABLED) == 77
    assert all("from memory" in row["source"] for row in SIZES)


@by_name
def test_diameter(row):
    found = overall_diameter(read_size(row["designation"]))
    assert found.value_mm == int(row["overall_diameter_mm"])
    assert found.basis == ("table" if row in TABLED else "formula")
    assert "from memory" in found.source


@by_name
def test_section_width_on_the_measuring_rim(row):
    size = read_size(row["designation"])
    if not row["section_width_mm"]:
        with pytest.raises(NotDerivable):
            section_width(size)
        return
    assert section_width(size).value_mm == int(row["section_width_mm"])
    assert permitted_rim_widths(size).measuring_in == float(row["measuring_rim_code"])


@pytest.mark.parametrize("row", LIMITS, ids=lambda row: row["designation"])
def test_limits(row):
    size = read_size(row["designation"])
    diameter = overall_diameter(size)
    # the data is printed to one decimal, halves either way
    assert rim_of(size).diameter_mm == int(row["rim_diameter_mm"])
    assert diameter.min_mm == pytest.approx(float(row["D_min_mm"]), abs=0.051)
    assert diameter.max_mm == pytest.approx(float(row["D_max_mm"]), abs=0.051)
    if row["section_width_max_mm"]:
        width = section_width(size)
        assert width.max_mm == pytest.approx(float(row["section_width_max_mm"]), abs=0.051)
        assert width.min_mm is None


@pytest.mark.parametrize("row", [r for r in TABLED if "/" in r["designation"]], ids=str)
def test_either_half_of_a_dual_designation_has_the_row(row):
    for half in row["designation"].split("/"):
        size = read_size(half)
        halves = [size] if size.construction else list(size.candidates)
        cross_ply = next(half for half in halves if half.construction == "bias")
        assert overall_diameter(cross_ply).value_mm == int(row["overall_diameter_mm"])


CHECKS = [  # designation, overall diameter, section width: by hand from the same memory
    ("4.80-10", 490, 128),
    ("5.20-13", 582, 132),
    ("5.60-15", 650, 145),
    ("6.40-13", 642, 163),
    ("6.70-15", 710, 170),
    ("8.20-15", 760, 213),
    ("6.00-15 L", 650, 156),
    ("125 R 12", 510, 127),
    ("155 R 13", 578, 157),
    ("165 R 15", 646, 167),
    ("185 R 14", 650, 188),
    ("205 R 16", 736, 208),
    ("185/70 R 15", 640, 189),
    ("205/70 R 15", 668, 209),
    ("195/65 R 15", 635, 201),
    ("205/55 R 16", 632, 214),
    ("225/45 R 17", 635, 225),
    ("220/55 R 390", 632, None),
]


@pytest.mark.parametrize(("text", "diameter", "width"), CHECKS)
def test_check_values(text, diameter, width):
    size = read_size(text)
    assert overall_diameter(size).value_mm == diameter
    if width:
        assert section_width(size).value_mm == width


@pytest.mark.parametrize(
    ("text", "least", "most", "widest"),
    [("165 R 15", 638.05, 656.6, 173.68), ("5.60-15", 641.93, 671.52, 153.7)],
)
def test_exact_limits(text, least, most, widest):
    size = read_size(text)
    diameter = overall_diameter(size)
    assert (diameter.min_mm, diameter.max_mm) == (least, most)
    assert section_width(size).max_mm == widest


@pytest.mark.parametrize(
    ("text", "rim", "width"),
    [
        ("185/70 R 14", 5.5, 189),
        ("195/65 R 15", 6, 201),
        ("205/55 R 16", 6.5, 214),
        ("225/45 R 17", 7.5, 225),
        ("245/40 R 18", 8.5, 248),
    ],
)
def test_five_well_known_pairs_of_size_and_rim(text, rim, width):
    assert section_width(read_size(text), rim).value_mm == width


def test_sections_of_one_width_stay_within_4_mm_from_rim_to_rim():
    """Computed: it shows that the rows hang together, not that they are right."""
    heights = {}
    for row in TABLED:
        size = read_size(row["designation"])
        height = int(row["overall_diameter_mm"]) - rim_of(size).diameter_mm
        width = size.canonical.split("-")[0].split(" R ")[0]
        heights.setdefault((row["table"], width), []).append(height)
    spread = {key: max(found) - min(found) for key, found in heights.items()}
    assert max(spread.values()) <= 4, spread


def test_a_size_without_profile_is_neither_100_nor_80_per_cent():
    # 165 R 15: H / S1 = 0.803; 125 R 12: 0.82 (computed from the rows)
    for text, ratio in (("165 R 15", 0.803), ("125 R 12", 0.82)):
        size = read_size(text)
        height = (overall_diameter(size).value_mm - rim_of(size).diameter_mm) / 2
        assert height / size.width_mm == pytest.approx(ratio, abs=0.0005)
