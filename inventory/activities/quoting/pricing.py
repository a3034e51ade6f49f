"""The lots by which a set is priced before anything is held."""

from __future__ import annotations

from datetime import datetime

from inventory.activities.holding.choosing import companions_of, oldest
from inventory.activities.holding.parts import Part, parts_of
from inventory.availability import Need, SetAnswer


def parts_to_price(need: Need, answer: SetAnswer, *, at: datetime) -> tuple[Part, ...]:
    """The best set with its companions as they lie; empty where there is no complete one."""
    if not answer.sets:
        return ()
    wanted = companions_of(need, answer)
    more = [part for sku, count in wanted.items() for part in oldest(sku, count, need.site_id, at)]
    return (*parts_of(answer), *more)
