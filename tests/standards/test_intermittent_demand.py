"""What the forecast is measured against is what the literature means by it.

Croston, *Forecasting and stock control for intermittent demands*, Operational Research Quarterly
23, 1972; Syntetos and Boylan, *The accuracy of intermittent demand estimates*, International
Journal of Forecasting 21, 2005 (both from memory), with smoothing of 0.1. The numbers are those of
the library statsforecast 2.1.1, CrostonClassic and CrostonSBA; on the 2,493 series of the open data
set with a sale the largest difference was 1.4e-15 (`python -m tests.load.forecast --carparts`,
where that library is installed).
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.load.rivals import croston, croston_debiased
from tests.load.shop import Series

CASES = [
    ((0, 0, 3, 0, 1, 0, 0, 4, 2, 0, 0, 0, 1), 0.9290857363633173, 0.8826314495451514),
    ((5, 0, 0, 0, 0, 2, 0, 7), 3.3767123287671237, 3.2078767123287673),
    ((0, 1, 0, 0, 0, 0, 0, 0, 0, 0), 0.5, 0.475),
    ((2, 2, 2, 2), 2.0, 1.9),
    ((0, 0, 0), 0.0, 0.0),
]


@pytest.mark.parametrize(("sold", "rate", "debiased"), CASES)
def test_croston_and_sba(sold, rate, debiased):
    units = np.array([sold], float)
    assert croston(units)[0] == pytest.approx(rate, abs=1e-12)
    series = Series(units, np.ones_like(units), np.zeros(1, np.int64), 1)
    assert croston_debiased(series, 3).months[0] == pytest.approx([debiased] * 3, abs=1e-12)


def test_by_hand():
    """Sizes 3 then 2, gaps 2 then 3: (3 - 0.1) over (2 + 0.1)."""
    assert croston(np.array([[0, 3, 0, 0, 2.0]]))[0] == pytest.approx(2.9 / 2.1, abs=1e-15)
