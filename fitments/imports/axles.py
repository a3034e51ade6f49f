"""Axles as sheets tell them: front, rear, or both at once, which makes two rows."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from inventory.ground.sheets import readers
from inventory.ground.sheets.columns import Column
from inventory.models.customer import Axle

BOTH = "both"

AXLE = Column(
    "axle",
    "axle",
    readers.choice([*Axle.choices, (BOTH, BOTH)]),
    required=True,
    example="both",
    wanted="front, rear, or both",
)


def by_axle(values: Mapping[str, Any]) -> list[dict[str, Any]]:
    """One set of values for each axle that a row tells of."""
    axles = Axle.values if values["axle"] == BOTH else [values["axle"]]
    return [{**values, "axle": axle} for axle in axles]
