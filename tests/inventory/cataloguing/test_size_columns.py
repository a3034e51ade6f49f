"""A size as typed in the columns in which it is searched.

Diameters and widths: UN R30 tables, from memory, as in tests/standards.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from inventory.activities.cataloguing.size_columns import NO_SIZE, size_columns
from inventory.markings import UnreadableMarking
from inventory.markings.geometry import GeometryError
from inventory.models.sku import Sku


def test_a_radial_with_everything():
    columns = size_columns("185/70r15 89v")
    assert columns["size"] == "185/70 R 15 89V"
    assert (columns["width_mm"], columns["aspect"], columns["construction"]) == (185, 70, "radial")
    assert (columns["rim_mm"], columns["bead"]) == (381, "5-degree")
    assert (columns["load_index"], columns["load_index_dual"], columns["speed"]) == (89, None, "V")
    assert columns["top_speed_kmh"] == 240
    assert (columns["overall_mm"], columns["section_mm"]) == (Decimal("640.0"), Decimal("189.0"))
    assert columns["overall_basis"].startswith("formula: UN R30 6.1.1")
    assert columns["speed_in_size"] == ""


@pytest.mark.parametrize(
    ("text", "overall", "basis"),
    [
        ("165 R 15", "646.0", "table"),
        ("5.60-15", "650.0", "table"),
        ("205/60 R 15", "627.0", "formula"),
        ("20/54-13", "540.0", "stated"),
        ("245/575-13", "575.0", "stated"),
    ],
)
def test_where_the_overall_diameter_is_from(text, overall, basis):
    columns = size_columns(text)
    assert columns["overall_mm"] == Decimal(overall)
    assert columns["overall_basis"].split(":")[0] == basis


def test_what_the_maker_states_goes_before_everything():
    columns = size_columns("165 R 15", Decimal("643.5"))
    assert columns["overall_mm"] == Decimal("643.5")
    assert columns["overall_basis"] == "stated: the maker's figure, as stated"


def test_a_diameter_that_does_not_follow_is_left_open():
    columns = size_columns("4.50/11.60-15")
    assert (columns["overall_mm"], columns["overall_basis"]) == (None, "")
    assert columns["rim_mm"] == 381


@pytest.mark.parametrize(
    ("text", "letter", "speed", "kmh"),
    [
        ("165 SR 15", "S", "", 180),
        ("165 HR 15", "H", "", 210),
        ("205/70 VR 15", "V", "", None),
        ("205/50 ZR 15", "Z", "", None),
        ("205/70 VR 15 95V", "V", "V", 240),
        ("245/45 ZR 17 (95Y)", "Z", "(Y)", None),
        ("245/45 ZR 17 95Y", "Z", "Y", 300),
        ("165 R 15", "", "", None),
    ],
)
def test_an_open_ended_letter_gives_no_top_speed(text, letter, speed, kmh):
    columns = size_columns(text)
    assert (columns["speed_in_size"], columns["speed"]) == (letter, speed)
    assert columns["top_speed_kmh"] == kmh


def test_a_dual_load_index_has_two_columns():
    columns = size_columns("185 R 14 C 102/100 R")
    assert (columns["load_index"], columns["load_index_dual"]) == (102, 100)


def test_keys_are_sorted_and_shared_by_the_same_size_written_otherwise():
    keys = size_columns("165 R 15")["size_keys"]
    assert list(keys) == sorted(keys)
    assert set(keys) & set(size_columns("165/80 R 15")["size_keys"])
    assert not set(keys) & set(size_columns("165/70 R 15")["size_keys"])


def test_either_half_of_a_dual_mark_finds_it():
    both = set(size_columns("185-14/7.35-14")["size_keys"])
    assert both & set(size_columns("7.35-14")["size_keys"])


@pytest.mark.parametrize(
    ("text", "rim"), [("165 R 400", 400), ("190/65 R 390", 390), ("820x120", 580)]
)
def test_rims_in_millimetres(text, rim):
    assert size_columns(text)["rim_mm"] == rim


@pytest.mark.parametrize("text", ["", "round", "185/70 R", "日本", "x" * 10_000])
def test_what_is_no_size_is_refused(text):
    with pytest.raises(UnreadableMarking):
        size_columns(text)


@pytest.mark.parametrize("stated", [Decimal(3), Decimal(9000)])
def test_a_diameter_that_cannot_be_is_refused(stated):
    with pytest.raises(GeometryError, match="is not a dimension of a car tyre"):
        size_columns("165 R 15", stated)


def test_the_columns_are_those_of_a_sku_and_nobody_can_change_them():
    columns = size_columns("165 R 15")
    assert set(columns) == set(NO_SIZE)
    assert set(columns) <= {field.name for field in Sku._meta.concrete_fields}
    with pytest.raises(TypeError):
        columns["size"] = "other"
