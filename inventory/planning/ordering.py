"""From what is needed to what is ordered: least quantity and whole packs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from inventory.planning.arrays import Floats, Ints


@dataclass(frozen=True, slots=True)
class Quantities:
    """Pieces of an order, step by step; (orders,) each."""

    need: Floats
    after_minimum: Floats
    after_pack: Floats

    @property
    def extra(self) -> Floats:
        """Pieces that only the supplier's minimum and packs ask for."""
        return self.after_pack - self.need


def quantities(need: Floats, minimum: Ints, pack: Ints) -> Quantities:
    """What is needed, the least a supplier takes an order for, and whole packs of that; nothing
    where nothing is needed."""
    whole = np.maximum(np.ceil(need), 0.0)
    least = np.where(whole > 0, np.maximum(whole, minimum), 0.0)
    return Quantities(whole, least, np.ceil(least / pack) * pack)
