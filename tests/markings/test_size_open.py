"""What a mark leaves open stays open: candidates, dual designations, service descriptions."""

from __future__ import annotations

import dataclasses
import json

import pytest

from inventory.markings import read_size


@pytest.mark.parametrize(
    ("text", "candidates"),
    [
        ("155-15", ["155 R 15", "155 D 15"]),
        ("185 15", ["185 R 15", "185 D 15"]),
        ("185/70-13", ["185/70 R 13", "185/70 D 13", "185/70 B 13"]),
        ("185 70 15", ["185/70 R 15", "185/70 D 15", "185/70 B 15"]),
        ("165-380", ["165 R 380", "165 D 380"]),
        ("155-15 82S TT", ["155 R 15 82S TT", "155 D 15 82S TT"]),
        ("6.5-13", ["6.5-13", "6.50-13"]),
        ("30x3 1/2", ["30x3½ BE", "30x3½ SS"]),
    ],
)
def test_an_open_mark_lists_every_reading(text, candidates):
    size = read_size(text)
    assert [c.canonical for c in size.candidates] == candidates
    assert [read_size(c.canonical) for c in size.candidates[1:]] == list(size.candidates[1:])


@pytest.mark.parametrize("text", ["155-15", "185/70-13", "165-380"])
def test_an_open_construction_is_none_and_says_what_it_may_be(text):
    size = read_size(text)
    assert size.construction is None
    assert size.possible_constructions == tuple(c.construction for c in size.candidates)


@pytest.mark.parametrize("text", ["165 R 15", "5.60-15", "FR70-14", "185/70 B 13", "20/54-13"])
def test_a_mark_with_one_reading_lists_no_candidates(text):
    assert read_size(text).candidates == ()


def test_a_letter_size_without_r_is_never_a_radial():
    size = read_size("F70-14")
    assert size.construction is None
    assert size.possible_constructions == ("bias", "bias-belted")


def test_a_competition_size_without_r_may_be_anything():
    assert set(read_size("245/575-13").possible_constructions) == {"radial", "bias", "bias-belted"}
    assert read_size("245/575 R 13").possible_constructions == ("radial",)


@pytest.mark.parametrize(
    ("text", "first", "other"),
    [
        ("4.40/4.50-21", ("width_in", 4.4), "4.50-21"),
        ("6.40/6.50-13", ("width_in", 6.4), "6.50-13"),
        ("185-14/7.35-14", ("width_mm", 185), "7.35-14"),
        ("185/7.35-14", ("width_mm", 185), "7.35-14"),
        ("6.95/175-14", ("width_in", 6.95), "175-14"),
        ("5.00-14/5.20-14", ("width_in", 5), "5.20-14"),
        ("6.40/6.50-13 4PR", ("width_in", 6.4), "6.50-13 4PR"),
        ("6.00/6.50 R 16", ("width_in", 6), "6.50 R 16"),
    ],
)
def test_a_dual_designation_gives_its_first_half_and_lists_the_other(text, first, other):
    size = read_size(text)
    assert getattr(size, first[0]) == first[1]
    assert [a.canonical for a in size.alternatives] == [other]
    assert size.alternatives[0].rim_in == size.rim_in
    assert size.alternatives[0].construction == size.construction


def test_a_metric_half_beside_an_inch_half_is_cross_ply():
    """UN R30 Annex 5 Table I lists 185-14/7.35-14 among diagonal tyres (from memory)."""
    size = read_size("185-14/7.35-14")
    assert (size.construction, size.alternatives[0].construction) == ("bias", "bias")


@pytest.mark.parametrize("text", ["4.50/11.60-15", "4.75/10.00-15"])
def test_a_pair_that_is_no_section_and_diameter_fills_neither(text):
    size = read_size(text)
    assert (size.section_in, size.overall_in, size.width_in) == (None, None, None)
    assert size.rim_in == 15


@pytest.mark.parametrize(
    ("text", "index", "dual", "speed", "bracketed"),
    [
        ("205/55 ZR 16 (91W)", 91, None, "W", True),
        ("205/55 ZR 16 91W", 91, None, "W", False),
        ("205/55 ZR 16 (Y)", None, None, "Y", True),
        ("205/55 ZR 16 (91Y)", 91, None, "Y", True),
        ("205/55 ZR 16", None, None, None, False),
        ("185 R 14 C 102/100 R", 102, 100, "R", False),
        ("185R14C 102/100", 102, 100, None, False),
        ("165 R 15 86", 86, None, None, False),
    ],
)
def test_the_service_description(text, index, dual, speed, bracketed):
    size = read_size(text)
    assert (size.load_index, size.load_index_dual, size.speed) == (index, dual, speed)
    assert size.bracketed is bracketed


def test_the_letter_inside_is_not_the_speed_symbol():
    size = read_size("185/70 VR 15")
    assert (size.speed_in_size, size.speed) == ("V", None)
    size = read_size("185/70 R 15 89V")
    assert (size.speed_in_size, size.speed) == (None, "V")


@pytest.mark.parametrize(
    ("text", "ply"),
    [("5.60-15 4PR", 4), ("6.00-16 6 ply", 6), ("5.60-15", None), ("185R14C 8 P.R. TT", 8)],
)
def test_the_ply_rating(text, ply):
    assert read_size(text).ply == ply


def test_a_size_is_a_value():
    size = read_size("185/70 VR 15 89V")
    assert size == read_size("185/70vr15 89v")
    assert hash(size) == hash(read_size("185/70vr15 89v"))
    assert str(size) == "185/70 VR 15 89V"
    with pytest.raises(dataclasses.FrozenInstanceError):
        size.aspect = 65
    assert not hasattr(size, "__dict__")


def test_as_dict_is_plain_json():
    read = read_size("31x10,5R15 LT").as_dict()
    assert json.loads(json.dumps(read)) == read
