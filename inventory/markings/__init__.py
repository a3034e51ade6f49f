"""What is moulded on a sidewall, read and computed: pure functions, no clock, no database."""

from inventory.markings.errors import UnreadableMarking
from inventory.markings.size import Size

__all__ = ["Size", "UnreadableMarking"]
