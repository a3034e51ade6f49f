"""What a night learnt, as it is kept and taken up again by a page that looks at one SKU."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from inventory.models.learnt import Learnt
from inventory.planning import Learned, Lessons, Scatter, Seasons, lessons_of
from inventory.planning.arrays import Floats
from inventory.reordering.range import CATEGORIES, Range

_EVERY = "every"


@dataclass(frozen=True, slots=True)
class Kept:
    """Lessons with the mean of each range by its lineage, and of all, for a range that is new."""

    lessons: Lessons
    means: Mapping[int, float]
    every: float

    def start(self, known: Range) -> Floats:
        """The mean of the range of each SKU."""
        return np.array([self.means.get(each, self.every) for each in known.lineage.tolist()])


def kept_of(known: Range, learned: Learned) -> dict[str, Any]:
    """What is kept of what was learnt of the whole range, as JSON."""
    lessons = lessons_of(learned)
    seasons, m0 = lessons.seasons, learned.forecast.filtered.m0
    means = dict(zip(known.lineage.tolist(), m0.tolist(), strict=True))
    return {
        "years": seasons.years,
        "seasons": {
            category.value: {"index": seasons.index[n].tolist(), "units": float(seasons.units[n])}
            for n, category in enumerate(CATEGORIES)
        },
        "written_down": lessons.written_down,
        "scatter": {
            "edges": lessons.scatter.edges.tolist(),
            "pooled": lessons.scatter.pooled.tolist(),
        },
        "means": {str(lineage): mean for lineage, mean in means.items()},
        _EVERY: float(m0.mean()) if m0.size else 0.0,
    }


def recalled(told: Mapping[str, Any]) -> Kept:
    """The same again. A category that was not known then has no season."""
    flat = {"index": [1.0] * 12, "units": 0.0}
    curves = [told["seasons"].get(category.value, flat) for category in CATEGORIES]
    seasons = Seasons(
        np.array([curve["index"] for curve in curves], float),
        np.array([curve["units"] for curve in curves], float),
        int(told["years"]),
    )
    scatter = Scatter(*(np.array(told["scatter"][name], float) for name in ("edges", "pooled")))
    means = {int(lineage): float(mean) for lineage, mean in told["means"].items()}
    return Kept(Lessons(seasons, float(told["written_down"]), scatter), means, told[_EVERY])


def latest() -> Learnt | None:
    """What was learnt last."""
    return Learnt.objects.order_by("-learnt_at", "-pk").first()
