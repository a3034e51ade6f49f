"""An answer of the counter as holds, quotes and order lines keep it: plain JSON, for good."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from datetime import date
from decimal import Decimal
from typing import Any

from inventory.activities import recipes
from inventory.availability import Need, SetAnswer

ASKED, STOCK = "asked", "stock"


def frozen(
    said: Mapping[str, Any], need: Need | None = None, answer: SetAnswer | None = None
) -> dict[str, Any]:
    """What was said, with what was asked of the shelf and what it answered.

    ``said`` is the caller's: use, market, class, verdict, reasons; JSON as it stands. Of the need
    only what its recipe does not say is kept, under "asked"; the answer, under "stock", has sets,
    bound, reason, pieces, chosen lots with their date codes, companions and price.
    """
    kept = dict(said)
    if need is not None:
        kept[ASKED] = {"site_id": need.site_id, "rim_kind": need.rim_kind, "valve": need.valve}
    if answer is not None:
        told = asdict(answer)
        del told["key"]
        kept[STOCK] = plain(told)
    return kept


def need_of(recipe: Mapping[str, Any], answer: Mapping[str, Any]) -> Need:
    """The question behind a kept recipe and its answer, to be asked again."""
    asked = answer.get(ASKED, {})
    return Need(None, recipes.recalled(recipe), **asked)


def plain(value: Any) -> Any:
    """A value as JSON has it: days and amounts as text, tuples as lists."""
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, Mapping):
        return {str(name): plain(one) for name, one in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain(one) for one in value]
    return value


def said_of(answer: Mapping[str, Any]) -> dict[str, Any]:
    """What the caller had said, without what the shelf answered."""
    return {name: value for name, value in answer.items() if name not in (ASKED, STOCK)}
