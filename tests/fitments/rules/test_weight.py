"""The table rule x market x use: complete, sourced, and the strictest row applies."""

from __future__ import annotations

import csv
import re
from importlib.resources import files
from itertools import product
from pathlib import Path

import pytest

import fitments.rules
from fitments.rules.registry import RULES, SET_RULES, TITLES
from fitments.rules.values import Finding, Market, Outcome, Use, Weight
from fitments.rules.voice import Voice
from fitments.rules.weight import table, weigh
from tests.fitments.rules.making import CANNOT_TELL, CAUTION, REFUSED, SUITS, terms

TEXT = files("fitments.rules").joinpath("weights.csv").read_text(encoding="utf-8")
ROWS = list(csv.DictReader(TEXT.splitlines()))
POINTS = {(row["rule"], row["point"]) for row in ROWS}


def finding(rule: str, point: str = "", outcome: Outcome = REFUSED) -> Finding:
    return Voice(rule, point=point).finds(outcome, "Words.")


@pytest.mark.parametrize(("rule", "point"), sorted(POINTS))
def test_every_point_has_a_cell_for_every_market_and_use(rule, point):
    for market, use in product(Market, Use):
        assert (rule, point, market, use) in table()


def test_every_rule_of_the_registry_is_weighed_and_no_other():
    named = {entry.name for entry in RULES} | {name for name, _ in SET_RULES}
    assert {rule for rule, _ in POINTS} == named == set(TITLES)
    assert len(RULES) == 13


def test_every_point_that_a_rule_names_in_its_code_is_in_the_table():
    said = re.compile(r'\.on\(\s*"([^"]+)"|Voice\(RULE, [^()]*, "([^"]+)"\)')
    folder = Path(fitments.rules.__file__).parent
    named = {a or b for path in folder.glob("*.py") for a, b in said.findall(path.read_text())}
    assert {"width", "pressure", "arch", "others"} <= named
    assert named - {point for _, point in POINTS} == set()


@pytest.mark.parametrize(
    "row", ROWS, ids=lambda row: f"{row['rule']}-{row['point']}-{row['market']}"
)
def test_every_row_has_its_source_and_day(row):
    assert row["source"].strip()
    assert re.fullmatch(r"\d{4}-\d\d-\d\d", row["dated"])
    assert {row[use] for use in Use} <= {"", "full", "caution", "note", "not_asked"}


@pytest.mark.parametrize(
    ("rule", "point", "market", "use", "counts"),
    [
        ("rim", "", Market.GB, Use.SHOW, Weight.FULL),
        ("speed", "", Market.GB, Use.ROAD, Weight.FULL),
        ("speed", "", Market.GB, Use.SHOW, Weight.CAUTION),
        ("approval", "unknown", Market.EU, Use.ROAD, Weight.NOTE),
        ("approval", "list", Market.EU, Use.TRACK, Weight.FULL),
        ("supply", "", Market.GB, Use.ROAD, Weight.FULL),
        ("supply", "", Market.US, Use.ROAD, Weight.NOT_ASKED),
        ("across the car", "construction", Market.GB, Use.ROAD, Weight.FULL),
        ("across the car", "construction", Market.GB, Use.TRACK, Weight.CAUTION),
        ("shape", "", Market.OTHER, Use.ROAD, Weight.NOTE),
    ],
)
def test_some_cells(rule, point, market, use, counts):
    assert table()[rule, point, market, use].counts is counts


def test_of_several_rows_the_strictest_applies_and_is_named():
    on, one = terms(), finding("supply")
    cell = table()[one.rule, one.point, on.market, on.use]
    assert cell.counts is Weight.FULL
    assert "Hansard" in cell.source
    assert cell.dated.isoformat() == "1984-07-26"


@pytest.mark.parametrize(
    ("weight", "counted"),
    [
        (Weight.FULL, [SUITS, CAUTION, CANNOT_TELL, REFUSED]),
        (Weight.CAUTION, [SUITS, CAUTION, CAUTION, CAUTION]),
        (Weight.NOTE, [None] * 4),
    ],
)
def test_what_an_outcome_counts_for(weight, counted):
    found = [
        Finding("rim", outcome, "Words.", "source", counts=weight).counted
        for outcome in (SUITS, CAUTION, CANNOT_TELL, REFUSED)
    ]
    assert found == counted


def test_weighing_sets_the_weight_and_drops_what_is_not_asked():
    asked = weigh([finding("rim"), finding("age", "list"), finding("shape")], terms())
    assert [(each.rule, each.counts) for each in asked] == [
        ("rim", Weight.FULL),
        ("shape", Weight.NOTE),
    ]
    assert asked[1].counts_by == "common practice, no source (2026-11-25)"


def test_a_point_that_is_not_in_the_table_is_a_mistake():
    with pytest.raises(KeyError):
        weigh([finding("rim", "colour")], terms())
