"""Holding tyres for a customer: matched sets or pieces, until a time; extended, released."""

from inventory.activities.holding.ending import extend, release
from inventory.activities.holding.making import MOST_SETS, hold_pieces, hold_sets
from inventory.activities.holding.parts import Part, parts_of

__all__ = ["MOST_SETS", "Part", "extend", "hold_pieces", "hold_sets", "parts_of", "release"]
