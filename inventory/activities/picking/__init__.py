"""Picking: a list in walking order, each line confirmed, what is short chosen again, packed."""

from inventory.activities.picking.ending import cancel_list, leave_out, pack
from inventory.activities.picking.making import make_list
from inventory.activities.picking.scanned import NotRead, Scanned, scanned_for
from inventory.activities.picking.shortness import ShortPick, short
from inventory.activities.picking.standing import Missing, Standing, standing
from inventory.activities.picking.taking import pick, take_other

__all__ = [
    "Missing",
    "NotRead",
    "Scanned",
    "ShortPick",
    "Standing",
    "cancel_list",
    "leave_out",
    "make_list",
    "pack",
    "pick",
    "scanned_for",
    "short",
    "standing",
    "take_other",
]
