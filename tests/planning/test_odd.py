"""A month that cannot be right is left out and said, and teaches nobody else."""

from __future__ import annotations

import numpy as np
import pytest

from inventory.planning import History, learn
from inventory.planning.odd import without_odd_months

MONTHS = 24


def history(sold, **more):
    units = np.array(sold, float)
    given = {"unmet": np.zeros_like(units), "asked_in_vain": np.zeros_like(units)}
    return History(units, on_shelf=np.ones_like(units), **{**given, **more})


@pytest.mark.parametrize(
    ("usual", "most", "odd"),
    [
        (0, 200, False),  # a whole club at once, of a tyre that nobody else wants
        (0, 201, True),
        (4, 200, False),
        (10, 300, False),
        (10, 301, True),
        (60, 900, False),  # a busy season of what sells anyway
    ],
)
def test_what_is_out_of_all_proportion(usual, most, odd):
    found, left_out = without_odd_months(history([[usual] * 23 + [most]]))
    assert left_out.tolist() == [most if odd else 0]
    assert np.isnan(found.on_shelf[0, -1]) == odd
    assert found.sold[0, :-1].tolist() == [usual] * 23


def test_months_that_no_book_tells_of_are_not_counted_among_the_others():
    sold = [[0.0] * 20 + [10, 10, 10, 301]]
    shelf = np.ones((1, MONTHS))
    shelf[0, :20] = np.nan
    _, left_out = without_odd_months(
        History(np.array(sold), np.zeros((1, MONTHS)), np.zeros((1, MONTHS)), shelf)
    )
    assert left_out.tolist() == [301]
    shelf[0, 19] = 1  # one more month, of none: the others' mean is lower
    _, left_out = without_odd_months(
        History(np.array(sold), np.zeros((1, MONTHS)), np.zeros((1, MONTHS)), shelf)
    )
    assert left_out.tolist() == [301]


def test_a_slip_of_a_key_teaches_nobody_else():
    rng = np.random.default_rng(3)
    rows = rng.poisson(4 * (1 + np.sin(np.arange(MONTHS) * np.pi / 6)), (20, MONTHS))
    none = np.zeros(20, np.int64)
    sound = learn(history(rows), none, none, categories=1, first_month=0)
    slipped = rows.copy()
    slipped[3, 11] = 100_000
    found = learn(history(slipped), none, none, categories=1, first_month=0)
    assert found.odd.tolist() == [100_000.0 if n == 3 else 0.0 for n in range(20)]
    assert found.seasons.index == pytest.approx(sound.seasons.index, rel=0.1)
    others = np.arange(20) != 3
    assert found.forecast.rate[others] == pytest.approx(sound.forecast.rate[others], rel=0.05)
    assert found.forecast.phi[others] == pytest.approx(sound.forecast.phi[others], rel=0.3)
