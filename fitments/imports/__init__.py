"""The sheets of cars and approvals, in the order in which they build on one another."""

from __future__ import annotations

from inventory.ground.sheets.sheet import Sheet

SHEETS: tuple[Sheet, ...] = ()
