"""Diameters, widths, rims and circumferences of sizes, and where each figure comes from."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.markings.geometry import (
    GeometryError,
    NotDerivable,
    nominal_circumference,
    overall_diameter,
    permitted_rim_widths,
    revolutions_per_km,
    rolling_circumference,
    section_width,
)
from inventory.markings.rims import rim_of
from inventory.markings.size import Size, read_size
from inventory.markings.units import WrongUnit, ureg


def test_the_table_comes_before_the_formula():
    found = overall_diameter(read_size("165 R 15"))
    assert (found.value_mm, found.basis, found.assumed) == (646, "table", False)
    assert found.note == "Tabled as 165 R 15."


@pytest.mark.parametrize("same", ["165/80 R 15", "165/82 R 15", "165 SR 15", "165 R 380"])
def test_the_same_size_written_otherwise_has_the_same_row(same):
    assert overall_diameter(read_size(same)) == overall_diameter(read_size("165 R 15"))
    assert section_width(read_size(same)).value_mm == 167


def test_a_profile_that_no_table_has_goes_by_the_formula():
    found = overall_diameter(read_size("185/70 R 15"))
    assert (found.value_mm, found.basis) == (640, "formula")
    assert "D = d + 2H" in found.source


@pytest.mark.parametrize(("mark", "most"), [("R", 599.36), ("B", 609.72), ("D", 609.72)])
def test_cross_ply_and_belted_may_grow_more(mark, most):
    found = overall_diameter(read_size(f"185/70 {mark} 13"))
    assert found.value_mm == 589
    assert found.max_mm == most  # 330 + 1.04 or 1.08 x 259


@pytest.mark.parametrize(
    ("text", "diameter", "width"),
    [
        ("820x120", 820, 120),
        ("33x5", 838.2, 127),
        ("20/54-13", 540, 200),
        ("245/575-13", 575, 245),
        ("9.0/20.0-13", 508, 228.6),
        ("31x10.50 R 15 LT", 787.4, 266.7),
    ],
)
def test_a_designation_may_state_its_own_figures(text, diameter, width):
    size = read_size(text)
    for found, value in ((overall_diameter(size), diameter), (section_width(size), width)):
        assert (found.value_mm, found.basis) == (value, "stated")
        assert found.source == "the size designation itself"
        assert (found.min_mm, found.max_mm) == (None, None)
        assert "nominal" in found.note


def test_competition_pairs_warn_of_tread_widths():
    assert "what the maker states governs" in overall_diameter(read_size("20/54-13")).note


UNTOLD = ["4.50/11.60-15", "5.50 L 15", "FR70-14", "LR78-15", "4.40/4.50-21", "6.40 SR 13"]
UNTOLD += ["7.50 R 16", "105 R 400", "165 D 400"]


@pytest.mark.parametrize("text", UNTOLD)
def test_what_does_not_follow_from_the_mark_asks_for_the_makers_figure(text):
    size = read_size(text)
    for derive in (overall_diameter, section_width, rolling_circumference, revolutions_per_km):
        with pytest.raises(NotDerivable, match="state the maker's figure"):
            derive(size)
    with pytest.raises(NotDerivable, match="state the maker's range"):
        permitted_rim_widths(size)


@pytest.mark.parametrize("text", UNTOLD)
def test_a_stated_figure_is_taken(text):
    size = read_size(text)
    found = overall_diameter(size, stated_mm=655)
    assert (found.value_mm, found.basis, found.source) == (
        655,
        "stated",
        "the maker's figure, as stated",
    )
    assert section_width(size, stated_mm="6.5 in").value_mm == 165.1
    assert nominal_circumference(size, stated_mm=655).value_mm == 2058


def test_a_stated_figure_goes_before_the_table_and_may_carry_a_unit():
    size = read_size("165 R 15")
    assert overall_diameter(size, stated_mm=ureg.Quantity(64.8, "cm")).value_mm == 648
    assert revolutions_per_km(size, stated_mm=648) < revolutions_per_km(size)


@pytest.mark.parametrize(
    ("figure", "error"),
    [(380, GeometryError), (0, GeometryError), (3000, GeometryError), ("655 kg", WrongUnit)],
)
def test_a_stated_figure_that_cannot_be_is_refused(figure, error):
    with pytest.raises(error, match=r"\.$"):
        overall_diameter(read_size("5.50 L 15"), stated_mm=figure)


@pytest.mark.parametrize(
    ("text", "diameter"), [("165 R 400", 666), ("155 R 400", 648), ("135 R 400", 618)]
)
def test_a_radial_on_a_rim_that_no_table_has_takes_its_section_from_the_others(text, diameter):
    found = overall_diameter(read_size(text))
    assert (found.value_mm, found.basis, found.assumed) == (diameter, "formula", True)
    assert found.note.startswith("Assumed: the section of a")
    assert section_width(read_size(text)).assumed


def test_a_commercial_tyre_is_assumed_to_measure_as_the_car_tyre():
    found = overall_diameter(read_size("185 R 14 C 102/100 R"))
    assert (found.value_mm, found.assumed) == (650, True)
    assert "UN R54" in found.note


def test_a_mark_that_leaves_the_construction_open_is_not_guessed():
    with pytest.raises(NotDerivable) as refusal:
        overall_diameter(read_size("155-13"))
    assert "155 R 13 (578 mm) or 155 D 13 (582 mm): say which is meant" in str(refusal.value)
    with pytest.raises(NotDerivable, match=r"165 D 400 \(not known\)"):
        overall_diameter(read_size("165-400"))


def test_an_open_construction_is_answered_where_every_reading_agrees():
    found = overall_diameter(read_size("185 70 15"))
    radial, belted = (overall_diameter(read_size(f"185/70 {c} 15")) for c in "RB")
    assert (found.value_mm, found.min_mm, found.max_mm) == (640, radial.min_mm, belted.max_mm)
    width = section_width(read_size("155-13"))
    assert width.value_mm == 157
    assert "Table I " in width.source
    assert "Table II " in width.source


def test_an_open_size_without_its_readings_is_not_looked_up():
    bare = Size(canonical="155-13", family="", width_mm=155, rim_in=13)
    with pytest.raises(NotDerivable):
        overall_diameter(bare)


def test_both_halves_of_a_dual_mark_have_one_diameter():
    for text in ("6.40/6.50-13", "6.40-13", "6.50-13"):
        assert overall_diameter(read_size(text)).value_mm == 642


# -- widths and rims ------------------------------------------------------------------------------


def test_a_wider_rim_makes_a_wider_tyre():
    size = read_size("165 R 15")
    assert [section_width(size, rim).value_mm for rim in (4, 4.5, 5, 5.5)] == [162, 167, 172, 177]
    assert section_width(size).note == (
        "On a rim of 4.5 in, its measuring rim. Tabled as 165 R 15."
    )
    assert section_width(size, 5).note == "On a rim of 5 in. Tabled as 165 R 15."


def test_a_metric_rim_size_needs_its_rim_for_a_width():
    size = read_size("190/65 R 390")
    with pytest.raises(NotDerivable):
        section_width(size)
    with pytest.raises(NotDerivable):
        permitted_rim_widths(size)
    assert section_width(size, 5.5).value_mm == 193


@pytest.mark.parametrize("rim", [0, -5, 21, float("nan"), float("inf")])
def test_a_rim_that_no_car_has_is_refused(rim):
    with pytest.raises(GeometryError, match="is not the width of a car's rim"):
        section_width(read_size("165 R 15"), rim)


def test_permitted_rims_are_common_practice_unless_stated():
    found = permitted_rim_widths(read_size("165 R 15"))
    assert (found.min_in, found.measuring_in, found.max_in) == (4.0, 4.5, 5.5)
    assert (found.basis, "common practice" in found.source) == ("formula", True)
    assert [found.allows(width) for width in (3.5, 4, 5.5, 6)] == [False, True, True, False]


def test_a_makers_range_is_taken():
    found = permitted_rim_widths(read_size("4.50/11.60-15"), stated_in=(10, 12))
    assert (found.min_in, found.max_in, found.basis) == (10, 12, "stated")


@pytest.mark.parametrize("wrong", [(6, 5), (0, 5), (-1, 5), (5, 40)])
def test_a_range_that_cannot_be_is_refused(wrong):
    with pytest.raises(GeometryError, match="is not a range of rim widths"):
        permitted_rim_widths(read_size("165 R 15"), stated_in=wrong)


def test_rims_of_an_open_mark_where_its_readings_agree():
    assert permitted_rim_widths(read_size("155-13")).measuring_in == 4.5


# -- circumference ---------------------------------------------------------------------------------


def test_only_radials_have_a_rolling_factor():
    assert rolling_circumference(read_size("165 R 15")).value_mm == 1970
    cross_ply = rolling_circumference(read_size("5.60-15"))
    assert cross_ply.value_mm == nominal_circumference(read_size("5.60-15")).value_mm == 2042
    assert "No rolling factor" in cross_ply.note


def test_limits_go_round_with_the_tyre():
    found = nominal_circumference(read_size("165 R 15"))
    assert (found.min_mm, found.max_mm) == (2004.5, 2062.8)
    assert nominal_circumference(read_size("820x120")).max_mm is None


def test_turns_in_a_kilometre():
    assert revolutions_per_km(read_size("165 R 15")) == 507.6


# -- properties ------------------------------------------------------------------------------------

profiled = st.builds(
    "{}/{} {} {}".format,
    st.integers(21, 60).map(lambda n: 5 * n + 30),
    st.integers(6, 17).map(lambda n: 5 * n),
    st.sampled_from("RDB"),
    st.integers(10, 20),
)


@given(profiled)
def test_every_profiled_size_has_sound_dimensions(text):
    size = read_size(text)
    found = overall_diameter(size)
    assert rim_of(size).diameter_mm < found.min_mm < found.value_mm < found.max_mm
    width = section_width(size)
    assert width.value_mm < width.max_mm
    assert section_width(size, 8).value_mm > section_width(size, 7.5).value_mm


@given(st.integers(150, 250), st.integers(40, 70), st.integers(12, 18))
def test_more_profile_or_width_never_makes_a_smaller_tyre(width, aspect, rim):
    def diameter(width, aspect):
        fields = {"width_mm": width, "aspect": aspect, "rim_in": rim, "construction": "radial"}
        return overall_diameter(Size(canonical="", family="", **fields)).value_mm

    assert diameter(width, aspect) <= diameter(width + 1, aspect)
    assert diameter(width, aspect) <= diameter(width, aspect + 1)
