"""Mixing of constructions in Great Britain, as a full truth table.

The Road Vehicles (Construction and Use) Regulations 1986 (SI 1986/1078) regulation 26, from memory;
the same rule is stated for regulation 100 of the 1973 regulations in Commercial Motor, 18 June
1976, page 5 (read), and in SI 2001/25, Schedule 3, paragraph 5N(2)-5 (read). The table in data/ was
written down from those, apart from the rule in the package. That a temporary-use spare is excepted
in an emergency: theaa.com, on non-standard spare wheels (read).
"""

from __future__ import annotations

import csv
from itertools import product
from pathlib import Path

import pytest

from fitments.rules.mixing import CONSTRUCTIONS, across, may_run
from fitments.rules.values import Axle, Market, Outcome, Tyre, Use
from fitments.verdict import judge_set
from inventory.markings import read_size
from tests.fitments.rules.making import TODAY

DATA = Path(__file__).parent / "data" / "mixing_rules_gb.csv"
ROWS = list(csv.DictReader(DATA.read_text(encoding="utf-8").splitlines()))
NAMES = {"diagonal": "bias", "bias_belted": "bias-belted", "radial": "radial"}
ACROSS = [
    (NAMES[row["front_axle"]], NAMES[row["rear_axle"]], row["allowed"] == "1")
    for row in ROWS
    if row["front_axle"] in NAMES
]
SIZES = {"bias": "6.40-13", "bias-belted": "185/70 B 13", "radial": "185/70 R 13"}


def tyre(text: str) -> Tyre:
    return Tyre(code=text, size=read_size(text))


def found(tyres, rule: str, market=Market.GB, spare=None):
    verdict = judge_set(tyres, {}, use=Use.ROAD, market=market, on=TODAY, spare=spare)
    (one,) = [e for e in verdict.findings if (e.rule, e.point) == (rule, "construction")]
    return one


def test_the_table_is_full():
    assert {(front, rear) for front, rear, _ in ACROSS} == set(product(CONSTRUCTIONS, repeat=2))
    assert sum(allowed for _, _, allowed in ACROSS) == 6


@pytest.mark.parametrize(("front", "rear", "allowed"), ACROSS)
def test_front_and_rear(front, rear, allowed):
    assert may_run(front=front, rear=rear) is allowed
    assert across([front], [rear]) is allowed


@pytest.mark.parametrize("market", Market)
@pytest.mark.parametrize(("front", "rear", "allowed"), ACROSS)
def test_front_and_rear_in_the_verdict_on_a_car(front, rear, allowed, market):
    tyres = {Axle.FRONT: tyre(SIZES[front]), Axle.REAR: tyre(SIZES[rear])}
    one = found(tyres, "across the car", market)
    assert one.outcome is (Outcome.SUITS if allowed else Outcome.DOES_NOT_SUIT)
    assert "SI 1986/1078 reg 26" in one.source
    assert ("SI 1986/1078" in one.counts_by) is (market is Market.GB)


@pytest.mark.parametrize(("left", "right"), list(product(CONSTRUCTIONS, repeat=2)))
def test_one_construction_on_an_axle(left, right):
    (row,) = [row for row in ROWS if row["front_axle"] == "same axle"]
    assert row["allowed"] == "0"
    one = found({Axle.REAR: (tyre(SIZES[left]), tyre(SIZES[right]))}, "on an axle")
    assert one.outcome is (Outcome.SUITS if left == right else Outcome.DOES_NOT_SUIT)


def test_a_temporary_spare_is_excepted():
    radial, spare = tyre("185/70 R 13"), tyre("T115/70 D 15")
    tyres = {Axle.FRONT: (radial, spare), Axle.REAR: radial}
    verdict = judge_set(tyres, {}, use=Use.ROAD, market=Market.GB, on=TODAY)
    across_car = [e for e in verdict.findings if e.rule == "across the car"]
    assert {(e.point, e.outcome) for e in across_car} >= {
        ("construction", Outcome.SUITS),
        ("spare", Outcome.CAUTION),
    }
    assert [e for e in verdict.findings if e.rule == "on an axle"] == []
