"""Two sizes side by side, and the speedometer."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.markings.geometry import (
    GeometryError,
    NotDerivable,
    SpeedometerRule,
    compare_sizes,
    speedometer_check,
)
from inventory.markings.size import read_size


def compare(old, new, **how):
    return compare_sizes(read_size(old), read_size(new), **how)


def test_a_smaller_wider_tyre():
    found = compare("165 R 15", "185/70 R 15")
    assert (found.old, found.new) == ("165 R 15", "185/70 R 15")
    assert (found.old_diameter.basis, found.new_diameter.basis) == ("table", "formula")
    assert (found.diameter_mm, found.diameter_percent, found.radius_mm) == (-6, -0.93, -3)
    assert (found.width_mm, found.each_side_mm) == (22, 11)
    assert (found.shown_kmh, found.true_kmh) == (100, 99.1)
    assert found.words[:3] == (
        "6 mm smaller in diameter (-0.93 %): the car is lowered by 3 mm, with as much more room "
        "above.",
        "22 mm wider: 11 mm less room on each side.",
        "At 100 km/h shown, 99.1 km/h is driven, if the speedometer read true before.",
    )


def test_a_larger_narrower_tyre():
    found = compare("185/70 R 15", "165 R 15")
    assert "6 mm larger in diameter (+0.94 %): the car is raised by 3 mm" in found.words[0]
    assert found.words[1] == "22 mm narrower: 11 mm more room on each side."


def test_the_same_size_written_otherwise_changes_nothing():
    found = compare("165 R 15", "165/80 R 15")
    assert (found.diameter_mm, found.diameter_percent, found.width_mm) == (0, 0, 0)
    assert found.words[:2] == ("The same overall diameter.", "The same section width.")
    assert found.speedometer.outcome == "within"


def test_widths_are_of_the_rims_given():
    found = compare("165 R 15", "165 R 15", old_rim_width_in=4.5, new_rim_width_in=5.5)
    assert found.width_mm == 10


def test_a_width_that_is_not_known_is_said():
    found = compare("5.50 L 15", "165 R 15", old_stated_mm=640)
    assert (found.diameter_mm, found.old_width, found.width_mm, found.each_side_mm) == (
        6,
        None,
        None,
        None,
    )
    assert "cannot be told" in found.words[1]


def test_a_diameter_that_is_not_known_is_refused_unless_stated():
    with pytest.raises(NotDerivable, match="FR70-14"):
        compare("185 R 14", "FR70-14")
    assert compare("185 R 14", "FR70-14", new_stated_mm="64.5 cm").diameter_mm == -5


def test_a_measured_speedometer_gives_the_true_speed():
    found = compare("165 R 15", "185/70 R 15", shown_kmh="70 mph", over_read=1.05)
    assert found.shown_kmh == pytest.approx(112.65, abs=0.01)
    assert found.true_kmh == 106.3  # 112.65 / 1.05 x 640 / 646
    assert found.speedometer.over_read_after == pytest.approx(1.0598, abs=0.0001)
    assert "if the speedometer" not in found.words[2]


def test_an_unmeasured_speedometer_says_what_to_measure():
    found = speedometer_check(646, 640, None, "UN R39")
    assert found.outcome == "cannot tell"
    assert found.over_read_after is None
    assert found.over_read_needed == (pytest.approx(0.9907, abs=1e-4), pytest.approx(1.1228, 1e-3))
    assert found.words.startswith("Measure the speedometer on the old tyre: it must show 99.1 % to")


def test_a_change_that_no_lawful_speedometer_stands_is_outside_without_measuring():
    assert speedometer_check(600, 700, None, "UN R39").outcome == "outside"
    assert speedometer_check(700, 600, None, "UN R39").outcome == "outside"
    assert speedometer_check(600, 740, None, "GB 10 %").outcome == "outside"


def test_no_speedometer_needed():
    found = speedometer_check(646, 900, 1.02, "none before 1937")
    assert (found.outcome, found.over_read_needed) == ("no rule", None)
    assert found.rule is SpeedometerRule.NONE_BEFORE_1937
    assert "1 October 1937" in found.source


def test_words_name_the_figures():
    found = speedometer_check(600, 600, 1.2, "GB 10 %")
    assert found.words == (
        "With the new tyre it shows 120.0 % of the true speed; the rule allows 90.0 % to 110.0 %."
    )


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((646, 640, None, "ten per cent"), "is no speedometer rule: choose one of UN R39, GB 10 %"),
        ((0, 640, None, "UN R39"), "is not nought"),
        ((646, 0, None, "UN R39"), "is not nought"),
        ((646, 640, 0, "UN R39"), "does not show 0 times"),
        ((646, 640, float("nan"), "UN R39"), "does not show nan times"),
    ],
)
def test_what_cannot_be_is_refused(arguments, said):
    with pytest.raises(GeometryError, match=said):
        speedometer_check(*arguments)


@pytest.mark.parametrize("speeds", [[], [0]])
def test_r39_needs_a_speed(speeds):
    with pytest.raises(GeometryError, match="at least one speed"):
        speedometer_check(646, 640, 1.0, "UN R39", speeds_kmh=speeds)


SIZES = ["165 R 15", "185/70 R 15", "5.60-15", "195/65 R 15", "20/54-13", "820x120", "165 R 400"]


@given(st.sampled_from(SIZES), st.sampled_from(SIZES))
def test_there_and_back_undoes_the_change(one, other):
    there, back = compare(one, other), compare(other, one)
    assert there.diameter_mm == -back.diameter_mm
    assert there.width_mm == -back.width_mm
    assert there.true_kmh * back.true_kmh == pytest.approx(100 * 100, rel=2e-3)


@given(
    st.floats(500, 800),
    st.floats(500, 800),
    st.floats(0.9, 1.2),
    st.sampled_from(["UN R39", "GB 10 %"]),
)
def test_within_exactly_where_the_old_reading_lies_in_the_range_needed(old, new, ratio, rule):
    found = speedometer_check(old, new, ratio, rule)
    low, high = found.over_read_needed
    if low + 1e-3 < ratio < high - 1e-3:
        assert found.outcome == "within"
    if ratio < low - 1e-3 or ratio > high + 1e-3:
        assert found.outcome == "outside"


@given(st.floats(500, 800), st.floats(500, 800), st.floats(1.0, 1.133))
def test_outside_without_measuring_is_outside_whatever_is_measured(old, new, ratio):
    if speedometer_check(old, new, None, "UN R39").outcome == "outside":
        assert speedometer_check(old, new, ratio, "UN R39").outcome == "outside"
