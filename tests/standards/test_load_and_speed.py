"""Load index, speed symbol and load against speed, against the tables of UN R30 and R54.

The tables are from memory (the text of the annexes was not read): load indices 60 to 119 were
compared with a published table (trailermedic.co.uk/load-index, which misprints 61 and 83), the
speed symbols with two web tables, the ends of the V and W lines with a chassis textbook's page
(myengineerings.com/tyre-load-capacity). The source of each row is in the data.
"""

import csv
import itertools
from decimal import Decimal
from pathlib import Path

import pytest

from inventory.markings.service import load_at_speed, load_capacity_kg, top_speed, top_speed_of
from inventory.markings.size.model import Size

DATA = Path(__file__).parent / "data" / "load_index.csv"
ROWS = list(csv.DictReader(DATA.read_text(encoding="utf-8").splitlines()))

SYMBOLS = {  # UN R30 2.29 to 2.33 and R54, from memory; two web tables agree from E upwards
    **{f"A{n}": 5 * n for n in range(1, 9)},
    **{"B": 50, "C": 60, "D": 65, "E": 70, "F": 80, "G": 90, "J": 100, "K": 110, "L": 120},
    **{"M": 130, "N": 140, "P": 150, "Q": 160, "R": 170, "S": 180, "T": 190, "U": 200},
    **{"H": 210, "V": 240, "W": 270, "Y": 300},
}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["load_index"])
def test_load_index(row):
    assert load_capacity_kg(int(row["load_index"])) == Decimal(row["max_load_kg"])


def test_the_table_is_whole():
    assert [int(row["load_index"]) for row in ROWS] == list(range(151))


@pytest.mark.parametrize(
    ("index", "kg"),
    [
        (0, 45),
        (10, 60),
        (28, 100),
        (50, 190),
        (61, 257),
        (63, 272),
        (67, 307),
        (73, 365),
        (78, 425),
        (82, 475),
        (83, 487),
        (86, 530),
        (88, 560),
        (91, 615),
        (97, 730),
        (100, 800),
        (115, 1215),
        (119, 1360),
        (130, 1900),
        (150, 3350),
    ],
)
def test_load_index_by_hand(index, kg):
    assert load_capacity_kg(index) == kg


def test_loads_rise_strictly():
    loads = [load_capacity_kg(index) for index in range(151)]
    assert all(a < b for a, b in itertools.pairwise(loads))


def test_eighty_steps_are_ten_times_the_load():
    """Computed: the series of preferred numbers repeats every 80 steps, but for five entries.

    (Entries below 1,000 kg print whole kilograms, so the tenth of the higher one is floored.)
    """
    odd = {n for n in range(71) if load_capacity_kg(n + 80) != 10 * load_capacity_kg(n)}
    assert odd == {35, 37, 61, 63, 67}


@pytest.mark.parametrize(("symbol", "kmh"), SYMBOLS.items())
def test_speed_symbol(symbol, kmh):
    assert top_speed(symbol).kmh == kmh


def test_h_stands_between_u_and_v():
    by_speed = sorted("HSTUVW", key=lambda symbol: top_speed(symbol).kmh)
    assert by_speed == ["S", "T", "U", "H", "V", "W"]


@pytest.mark.parametrize(
    ("symbol", "speed", "percent"),
    [
        ("V", 210, 100),
        ("V", 215, 98.5),
        ("V", 217, 97.9),
        ("V", 220, 97),
        ("V", 225, 95.5),
        ("V", 230, 94),
        ("V", 232, 93.4),
        ("V", 235, 92.5),
        ("V", 240, 91),
        ("W", 240, 100),
        ("W", 250, 95),
        ("W", 255, 92.5),
        ("W", 260, 90),
        ("W", 270, 85),
        ("Y", 270, 100),
        ("Y", 280, 95),
        ("Y", 285, 92.5),
        ("Y", 290, 90),
        ("Y", 300, 85),
    ],
)
def test_percent_of_the_load_left(symbol, speed, percent):
    # load index 108 is 1,000 kg, so the load shows the per cent to its first decimal
    assert load_at_speed(108, symbol, speed) == Decimal(str(percent)) * 10


@pytest.mark.parametrize(
    ("index", "symbol", "speed", "exact"),
    [
        (91, "V", 240, "559.65"),
        (91, "V", 217, "602.085"),
        (86, "V", 232, "495.02"),
        (94, "W", 255, "619.75"),
        (94, "W", 270, "569.50"),
        (97, "Y", 285, "675.25"),
        (97, "Y", 300, "620.50"),
        (89, "V", 230, "545.2"),
    ],
)
def test_worked_loads_are_rounded_down(index, symbol, speed, exact):
    assert load_at_speed(index, symbol, speed) == int(Decimal(exact))


def test_marks_of_the_time():
    """165 SR 15, 185/70 HR 15, 185/70 VR 15, 205/70 VR 15 95V, 225/55 ZR 17 97W."""

    def marked(**fields):
        return top_speed_of(Size(canonical="", family="", construction="radial", **fields))

    assert marked(speed_in_size="S").kmh == 180
    assert marked(speed_in_size="H").kmh == 210
    assert (marked(speed_in_size="V").kmh, marked(speed_in_size="V").over_kmh) == (None, 210)
    assert marked(speed_in_size="V", speed="V", load_index=95).kmh == 240
    assert marked(speed_in_size="Z", speed="W", load_index=97).kmh == 270
