"""Load index, speed symbol, and the load that is left near the top speed."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.markings.service import (
    UNKNOWN_TOP_SPEED,
    ServiceDescriptionError,
    TooFast,
    UnknownLoadIndex,
    UnknownSpeedSymbol,
    load_at_speed,
    load_capacity_kg,
    top_speed,
    top_speed_of,
)
from inventory.markings.size.model import Size
from inventory.markings.units import WrongUnit, ureg

symbols = st.sampled_from("NPQRSTUHVWY")
indices = st.integers(0, 150)


def test_whole_masses_are_whole_numbers_and_the_others_exact():
    assert load_capacity_kg(91) == 615
    assert isinstance(load_capacity_kg(91), int)
    assert load_capacity_kg(1) == Decimal("46.2")


@pytest.mark.parametrize("index", [-1, 151, 10**30, 91.0, "91", True, None])
def test_an_index_outside_the_table_is_refused(index):
    with pytest.raises(UnknownLoadIndex, match="the table runs from 0 to 150"):
        load_capacity_kg(index)


@pytest.mark.parametrize(
    ("symbol", "kmh"), [("H", 210), (" h ", 210), ("S", 180), ("T", 190), ("V", 240), ("A8", 40)]
)
def test_a_symbol_has_a_figure(symbol, kmh):
    found = top_speed(symbol)
    assert (found.kmh, found.over_kmh, found.open_ended, found.known) == (kmh, None, False, True)
    assert found.words == f"{kmh} km/h"
    assert found.source


@pytest.mark.parametrize(("letter", "kmh"), [("S", 180), ("H", 210)])
def test_s_and_h_inside_a_radial_size_have_a_figure(letter, kmh):
    assert top_speed(letter, in_size=True, construction="radial").kmh == kmh


@pytest.mark.parametrize(("letter", "over"), [("V", 210), ("Z", 240)])
def test_v_and_z_inside_a_radial_size_are_open_ended(letter, over):
    found = top_speed(letter, in_size=True, construction="radial")
    assert (found.kmh, found.over_kmh, found.open_ended, found.known) == (None, over, True, True)
    assert found.words == f"over {over} km/h: no upper figure, ask the tyre's maker"


@pytest.mark.parametrize("mark", ["VR", "zr", "Z"])
def test_the_radial_marks_are_read_as_letters_inside_the_size(mark):
    assert top_speed(mark).open_ended


def test_a_bracketed_y_is_open_ended_above_300():
    found = top_speed("(Y)")
    assert (found.kmh, found.over_kmh, found.open_ended) == (None, 300, True)


@pytest.mark.parametrize("construction", ["bias", "bias-belted", None])
@pytest.mark.parametrize("letter", "SHVZ")
def test_a_letter_inside_any_other_size_cannot_be_told(letter, construction):
    found = top_speed(letter, in_size=True, construction=construction)
    assert (found.kmh, found.over_kmh, found.open_ended, found.known) == (None, None, False, False)
    assert found.words.startswith("cannot tell: ")
    assert found.words.endswith("ask the tyre's maker")


def test_another_letter_inside_a_radial_size_cannot_be_told():
    assert not top_speed("Q", in_size=True, construction="radial").known


@pytest.mark.parametrize("symbol", ["I", "O", "X", "", "A", "A9", "HH", "H" * 10_000, "Ж"])
def test_what_is_no_symbol_is_refused_with_those_in_use(symbol):
    with pytest.raises(UnknownSpeedSymbol, match="is no speed symbol") as refusal:
        top_speed(symbol)
    assert "U, H, V, W, Y" in str(refusal.value)
    assert len(str(refusal.value)) < 250


def size(**fields):
    return Size(canonical="", family="", **fields)


def test_the_service_description_governs_over_the_letter_inside():
    marked = size(construction="radial", speed_in_size="V", load_index=95, speed="V")
    assert top_speed_of(marked).kmh == 240
    assert top_speed_of(size(construction="radial", speed_in_size="Z", speed="W")).kmh == 270


def test_the_letter_inside_speaks_where_there_is_no_service_description():
    assert top_speed_of(size(construction="radial", speed_in_size="V")).open_ended
    assert not top_speed_of(size(construction="bias", speed_in_size="V")).known


def test_brackets_open_a_y():
    assert top_speed_of(size(construction="radial", speed="Y", bracketed=True)).open_ended
    assert top_speed_of(size(construction="radial", speed="W", bracketed=True)).kmh == 270


def test_a_tyre_with_neither_is_not_known():
    assert top_speed_of(size(construction="bias")) is UNKNOWN_TOP_SPEED


@pytest.mark.parametrize(
    ("symbol", "speed", "reaches"),
    [
        ("H", 210, True),
        ("H", "130.5 mph", False),  # 210.02 km/h
        ("VR", 210, True),
        ("VR", 211, None),
        ("(Y)", 320, None),
    ],
)
def test_whether_a_speed_is_reached(symbol, speed, reaches):
    assert top_speed(symbol).reaches(speed) is reaches


def test_an_unknown_top_speed_reaches_nothing_for_certain():
    assert UNKNOWN_TOP_SPEED.reaches(10) is None


def test_loads_are_rounded_down():
    assert load_at_speed(89, "V", 230) == 545  # 580 x 0.94 = 545.2
    assert load_at_speed(91, "V", 240) == 559  # 615 x 0.91 = 559.65
    assert load_at_speed(3, "S", 100) == 48  # 48.7


def test_rounding_down_never_loses_a_whole_kilogram():
    # 500 kg x (1 - 22 x 0.003) is 467 exactly, and 466.99999999999994 in floats
    assert load_at_speed(84, "V", 232) == 467
    assert load_at_speed(36, "V", 234) == 116


def test_speed_may_carry_a_unit():
    assert load_at_speed(91, "V", ureg.Quantity(200 / 3, "m/s")) == 559
    assert load_at_speed(91, "V", "130 mph") == load_at_speed(91, "V", 209.21472) == 615


def test_above_the_symbols_top_speed_no_load_is_given():
    with pytest.raises(TooFast, match="marked H may run at 210 km/h at most; at 211 km/h"):
        load_at_speed(91, "H", 211)
    with pytest.raises(TooFast):
        load_at_speed(91, "V", "150 mph")


def test_an_open_ended_symbol_gives_none_above_what_it_promises():
    assert load_at_speed(91, "VR", 210) == 615
    assert load_at_speed(91, "VR", 220) is None
    assert load_at_speed(91, "(Y)", 310) is None


def test_every_refusal_is_one_kind_of_error():
    assert issubclass(TooFast, ServiceDescriptionError)
    assert issubclass(ServiceDescriptionError, ValueError)
    with pytest.raises(WrongUnit):
        load_at_speed(91, "V", "30 psi")


@given(indices, symbols, st.data())
def test_load_never_rises_with_speed(index, symbol, data):
    top = top_speed(symbol).kmh
    slow, fast = sorted(data.draw(st.lists(st.floats(0, top), min_size=2, max_size=2)))
    assert load_at_speed(index, symbol, fast) <= load_at_speed(index, symbol, slow)


@given(indices, symbols, st.integers(0, 210))
def test_up_to_210_every_symbol_leaves_the_whole_load(index, symbol, speed):
    top = top_speed(symbol).kmh
    if speed <= top:
        assert load_at_speed(index, symbol, speed) == int(load_capacity_kg(index))
    else:
        with pytest.raises(TooFast):
            load_at_speed(index, symbol, speed)
