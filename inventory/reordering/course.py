"""Stock that is there in time against what may be asked for, week by week: for a picture."""

from __future__ import annotations

from typing import Any

import numpy as np

from inventory.planning import Situation
from inventory.planning.arrays import Ints
from inventory.planning.levels import quantile

WEEKS = 30


def courses(situation: Situation, rows: Ints, weeks: int = WEEKS) -> list[dict[str, Any]]:
    """For each SKU the end of every week from today on: pieces in time, those expected to be asked
    for by then, and how many are enough with the chance that the house wants."""
    position = situation.position
    last = position.ahead.plain.size - 1
    day = np.minimum(7 * np.arange(weeks + 1), last)
    days = np.broadcast_to(day, (rows.size, day.size))
    part = position.part(rows)
    stock = part.stock(days)
    mean, variance = position.ahead.demand(rows, days)
    level = quantile(situation.house.service, mean, variance).reshape(days.shape)
    return [
        {
            "days": day.tolist(),
            "stock": stock[n].astype(int).tolist(),
            "expected": np.round(mean[n], 2).tolist(),
            "level": level[n].astype(int).tolist(),
        }
        for n in range(rows.size)
    ]
