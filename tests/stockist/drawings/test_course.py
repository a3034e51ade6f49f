"""The pictures of the buyer's pages: what is drawn is what is told."""

from __future__ import annotations

from datetime import date

import pytest

from stockist.drawings.ages import LEFT, RIGHT, ages
from stockist.drawings.course import BASE, TOP, course
from tests.factories.planning import TOLD

SINCE = date(2026, 11, 23)


def points(line):
    return [tuple(float(n) for n in pair.split(",")) for pair in line.split()]


def test_stock_stays_until_something_comes():
    found = course(TOLD["course"], SINCE)
    heights = [y for _, y in points(found.stock)]
    assert heights == sorted(heights, reverse=True)
    assert points(found.stock)[-1][1] == TOP  # twelve is the most
    assert points(found.level)[0][1] == BASE
    corner = points(found.stock)[-2]
    assert corner[0] == points(found.stock)[-1][0]


def test_the_table_says_the_same():
    found = course(TOLD["course"], SINCE)
    assert [row.day for row in found.rows][:2] == [SINCE, date(2026, 11, 30)]
    assert [row.short for row in found.rows] == [False, False, True, False]
    assert found.rows[2].left == 1.4
    assert "fewer than are enough from about 07.12.2026" in found.words
    assert [tick.words for tick in found.ticks] == ["Dec"]


def test_the_bars_are_the_weeks_of_demand():
    bars = course(TOLD["course"], SINCE).bars
    assert len(bars) == 3
    assert max(bar.height for bar in bars) == bars[2].height == 44


def test_enough_throughout_and_nothing_to_draw():
    told = {"days": [0, 7], "stock": [9, 9], "expected": [0, 1], "level": [0, 3]}
    assert "enough throughout" in course(told, SINCE).words
    assert course({}, SINCE) is None
    flat = {"days": [0, 7], "stock": [0, 0], "expected": [0, 0], "level": [0, 0]}
    assert course(flat, SINCE).bars[0].height == 0


def test_stock_below_nought_is_drawn_at_nought():
    told = {"days": [0, 7], "stock": [-3, -3], "expected": [0, 1], "level": [0, 3]}
    assert {y for _, y in points(course(told, SINCE).stock)} == {BASE}


def test_ages_are_bars_in_one_scale():
    found = ages({"FEN": [6, 0, 2], "STA": [4, 0, 0]}, ["young", "middle", "old"])
    assert (found.pieces[0].shade, found.pieces[0].x) == (0, LEFT)
    widths = [piece.width for piece in found.pieces]
    assert sum(widths[:2]) == pytest.approx(RIGHT - LEFT)
    assert widths[2] == pytest.approx((RIGHT - LEFT) / 2)
    assert found.words == "FEN: 6 young, 2 old; STA: 4 young"
    assert ages({}, ["young"]) is None
