"""What is moulded on a sidewall, read and computed: pure functions, no clock, no database."""

from inventory.markings.aliases import same_size, search_keys, size_key
from inventory.markings.errors import UnreadableMarking
from inventory.markings.rims import Rim, rim_from, rim_of, rims_match
from inventory.markings.size import Size, read_size

__all__ = [
    "Rim",
    "Size",
    "UnreadableMarking",
    "read_size",
    "rim_from",
    "rim_of",
    "rims_match",
    "same_size",
    "search_keys",
    "size_key",
]
