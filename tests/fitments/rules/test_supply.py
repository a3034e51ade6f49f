"""Rule 12: a tyre without an E-mark, sold for the road."""

from __future__ import annotations

from datetime import date

import pytest

from fitments.rules.supply import is_e_marked, judge_supply
from fitments.rules.values import Condition, Market, TypeApproval, Use
from tests.fitments.rules.making import (
    CANNOT_TELL,
    CAUTION,
    SUITS,
    made,
    one,
    spot,
    terms,
    tyre,
)


def supply(tyre_, *on, **when):
    return judge_supply(tyre_, spot(), terms(*on, **when))


def test_e_marked():
    found = one(supply(tyre()))
    assert (found.outcome, found.words) == (SUITS, "Type-approved: UN R30 0212345.")


@pytest.mark.parametrize(
    ("scheme", "number", "marked"),
    [
        ("UN R30", "0212345", True),
        ("ECE R30", "", True),
        ("R54", "0012", True),
        ("R 030", "1", True),
        ("E11", "0212345", True),
        ("e-mark", "", True),
        ("92/23/EEC", "e1*", True),
        ("UN R13", "1", False),
        ("DOT", "AB12 3CD 1423", False),
        ("FMVSS 109", "", False),
    ],
)
def test_which_schemes_an_e_mark_stands_for(scheme, number, marked):
    told = tyre(type_approvals=(TypeApproval(scheme=scheme, number=number),))
    assert is_e_marked(told) is marked


@pytest.mark.parametrize(
    ("approvals", "has"), [((), "No E-mark"), (None, "Whether it has an E-mark is not on record")]
)
def test_without_an_e_mark_the_basis_is_asked_for(approvals, has):
    found = one(supply(tyre(type_approvals=approvals)))
    assert found.outcome is CANNOT_TELL
    assert found.words.startswith(f"{has}; since 1 January 1985 a new car tyre sold for the road")
    assert found.words.endswith("on what basis is it supplied?")
    assert found.source == "House of Lords, Hansard, 26 July 1984"


def test_a_stated_basis_is_a_caution_and_is_read_out():
    told = tyre(type_approvals=(), supply_basis="made for cars of before 1939 only")
    found = one(supply(told))
    assert found.outcome is CAUTION
    assert found.words.endswith("made for cars of before 1939 only.")


@pytest.mark.parametrize(
    ("use", "market", "on", "asked"),
    [
        (Use.ROAD, Market.GB, date(1984, 12, 31), False),
        (Use.ROAD, Market.GB, date(1985, 1, 1), True),
        (Use.ROAD, Market.EU, date(2009, 9, 30), False),
        (Use.ROAD, Market.EU, date(2009, 10, 1), True),
        (Use.ROAD, Market.US, date(2026, 1, 1), False),
        (Use.ROAD, Market.OTHER, date(2026, 1, 1), False),
        (Use.TRACK, Market.GB, date(2026, 1, 1), False),
        (Use.SHOW, Market.EU, date(2026, 1, 1), False),
    ],
)
def test_asked_for_the_road_in_gb_and_the_eu_since_its_day(use, market, on, asked):
    found = supply(tyre(type_approvals=()), use, market, on=on)
    assert [each.outcome for each in found] == ([CANNOT_TELL] if asked else [])


@pytest.mark.parametrize("condition", [Condition.PART_WORN, Condition.TAKE_OFF, Condition.FITTED])
def test_a_used_tyre_has_its_own_rule(condition):
    found = one(supply(tyre(made=made(condition=condition))), "part-worn")
    assert found.outcome is CAUTION
    assert "2 mm of tread" in found.words


def test_new_tyres_and_other_markets_have_not():
    assert len(supply(tyre(made=made()))) == 1
    assert len(supply(tyre(made=made(condition=Condition.PART_WORN)), Use.ROAD, Market.EU)) == 1
