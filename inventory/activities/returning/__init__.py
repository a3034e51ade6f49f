"""Returns: what came back of a despatch, in what condition, and where it went."""

from inventory.activities.returning.standing import StillOut, still_out
from inventory.activities.returning.taking_back import CameBack, take_back

__all__ = ["CameBack", "StillOut", "still_out", "take_back"]
