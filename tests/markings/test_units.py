"""A number, a text or a pint quantity into a plain number of the native unit."""

import math
import subprocess
import sys
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.markings.units import WrongUnit, to_kg, to_kmh, to_kpa, to_mm, ureg


@pytest.mark.parametrize("given_", [230, 230.0, Decimal(230), "230", " 230 km/h", "230KPH"])
def test_a_bare_number_is_in_the_native_unit(given_):
    assert to_kmh(given_) == 230


@pytest.mark.parametrize(
    ("convert", "text", "expected"),
    [
        (to_kmh, "98 mph", 157.715712),  # 1 mile = 1.609344 km, exact by definition
        (to_kmh, "62.5m/s", 225),
        (to_mm, "24.5 in", 622.3),  # 1 inch = 25.4 mm, exact by definition
        (to_mm, '15"', 381),
        (to_mm, "20cm", 200),
        (to_kg, "1100 lb", 498.951607),  # 1 lb = 0.45359237 kg, exact by definition
        (to_kpa, "2.1 bar", 210),
        (to_kpa, "30 PSI", 206.842718795),
    ],
)
def test_a_text_names_its_unit(convert, text, expected):
    assert convert(text) == pytest.approx(expected, abs=1e-9)


def test_a_quantity_of_the_house_registry_is_converted():
    assert to_kmh(ureg.Quantity(200 / 3, "m/s")) == 240  # not 240.00000000000003
    assert to_mm(ureg("15 inch")) == 381


def test_a_quantity_of_another_registry_is_converted():
    import pint

    assert to_kg(pint.UnitRegistry().Quantity(2, "tonne")) == 2000


@pytest.mark.parametrize(
    ("convert", "wrong", "said"),
    [
        (to_kmh, "5 kg", "is a mass; a speed is wanted"),
        (to_mm, "12 parsec", "parsec is not a unit known here for a length"),
        (to_kg, "fast", "write a number with its unit"),
        (to_kpa, "1,5 bar", "with a dot and no thousands mark"),
        (to_kmh, "", "write a number with its unit"),
        (to_kmh, "1 " * 5000, "write a number with its unit"),
        (to_kmh, "٣٤ mph", "write a number with its unit"),
        (to_kmh, "9**9 mph", "write a number with its unit"),
        (to_mm, True, "is not a length"),
        (to_mm, [15], "not list"),
        (to_kg, None, "not NoneType"),
        (to_kmh, -1, "cannot be -1 km/h"),
        (to_kmh, math.inf, "cannot be inf"),
        (to_kmh, math.nan, "cannot be nan"),
        (to_kmh, 10**400, "too large"),
    ],
)
def test_what_is_no_measurement_is_refused_in_words(convert, wrong, said):
    with pytest.raises(WrongUnit, match=r"\.$") as refusal:
        convert(wrong)
    assert said in str(refusal.value)


@pytest.mark.parametrize("unit", ["kg", "m", "degC", "m**2", "dimensionless"])
def test_a_quantity_of_another_dimension_is_refused(unit):
    with pytest.raises(WrongUnit, match="give a speed, such as '98 mph'"):
        to_kmh(ureg.Quantity(3, unit))


def test_pint_is_loaded_only_where_a_unit_is_named():
    code = (
        "import sys; from inventory.markings.units import to_kmh; to_kmh(5); to_kmh('5 km/h');"
        "print('pint' in sys.modules)"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "False"


@given(st.floats(0, 10_000))
def test_there_and_back(number):
    assert to_mm(ureg.Quantity(number, "mm").to("in")) == pytest.approx(number, abs=1e-6)
