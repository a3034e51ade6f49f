"""Circumference, change of diameter and the speedometer rules.

UN R39 5.3 as quoted word for word on two forum pages, and a newspaper's table of shown and true
speeds; the GB rule of ten per cent from memory; no speedometer before 1 October 1937: GB
Construction and Use Regulations, 35. Diameters from the rows of UN R30, from memory. The changes of
diameter are computed from them; 2.5 to 3 % as a limit is common practice, no source.
"""

import csv
from datetime import date
from pathlib import Path

import pytest

from inventory.markings.geometry import (
    compare_sizes,
    nominal_circumference,
    revolutions_per_km,
    rolling_circumference,
    speedometer_check,
    speedometer_rule,
)
from inventory.markings.size import read_size

DATA = Path(__file__).parent / "data" / "r30_derived.csv"
ROWS = list(csv.DictReader(DATA.read_text(encoding="utf-8").splitlines()))


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["designation"])
def test_nominal_circumference(row):
    found = nominal_circumference(read_size(row["designation"]))
    assert found.value_mm == int(row["nominal_circumference_mm"])


def test_rolling_circumference_of_a_radial_is_3_05_diameters():
    """From memory: the common factor of the European tyre and rim body."""
    found = rolling_circumference(read_size("165 R 15"))
    assert found.value_mm == round(3.05 * 646)
    assert "from memory" in found.source
    assert revolutions_per_km(read_size("165 R 15")) == round(1e6 / 1970, 1)


CHANGES = [
    ("5.60-15", "165 R 15", -0.62),
    ("165 R 15", "185/70 R 15", -0.93),
    ("165 R 15", "195/65 R 15", -1.70),
    ("185 R 14", "205/70 R 14", -1.08),
    ("5.20-13", "155 R 13", -0.69),
    ("165 R 13", "185/70 R 13", -1.17),
    ("6.40-13", "185 R 13", -2.80),
    ("205/70 R 15", "225/70 R 15", 4.19),
    ("175 R 13", "205/60 R 13", -5.26),
]


@pytest.mark.parametrize(("old", "new", "percent"), CHANGES)
def test_change_of_diameter(old, new, percent):
    assert compare_sizes(read_size(old), read_size(new)).diameter_percent == percent


def test_true_speed_at_100_shown():
    found = compare_sizes(read_size("165 R 15"), read_size("185/70 R 15"), shown_kmh=100)
    assert found.true_kmh == 99.1


@pytest.mark.parametrize(("true", "most_shown"), [(50, 59), (80, 92), (100, 114), (130, 147)])
def test_r39_shows_at_most(true, most_shown):
    def check(shown):
        return speedometer_check(600, 600, shown / true, "UN R39", speeds_kmh=[true]).outcome

    assert check(most_shown) == check(true) == "within"
    assert check(most_shown + 0.1) == "outside"


def test_r39_never_shows_less_than_the_truth():
    assert speedometer_check(600, 600, 50 / 51, "UN R39").outcome == "outside"


def test_a_true_speedometer_has_no_room_for_a_larger_tyre():
    assert speedometer_check(646, 647, 1.0, "UN R39").outcome == "outside"


def test_a_true_speedometer_allows_a_smaller_tyre_down_to_0_884_at_130():
    smallest = 1 / (1.1 + 4 / 130)
    assert smallest == pytest.approx(0.884, abs=0.0005)
    for new, outcome in ((885, "within"), (884, "outside")):
        found = speedometer_check(1000, new, 1.0, "UN R39", speeds_kmh=[130])
        assert found.outcome == outcome


def test_ten_per_cent_in_great_britain():
    assert speedometer_check(600, 600, 1.1, "GB 10 %").outcome == "within"
    assert speedometer_check(600, 600, 0.9, "GB 10 %").outcome == "within"
    assert speedometer_check(600, 662, 1.0, "GB 10 %").outcome == "within"  # shows 9.4 % too little
    assert speedometer_check(600, 668, 1.0, "GB 10 %").outcome == "outside"  # 10.2 %


@pytest.mark.parametrize(
    ("first_used", "market", "rule"),
    [
        (date(1937, 9, 30), "GB", "none before 1937"),
        (date(1937, 10, 1), "GB", "GB 10 %"),
        (date(1964, 6, 1), "GB", "GB 10 %"),
        (date(1930, 1, 1), "EU", "UN R39"),
    ],
)
def test_which_rule(first_used, market, rule):
    assert speedometer_rule(first_used, market) == rule
