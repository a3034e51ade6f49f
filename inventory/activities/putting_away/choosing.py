"""Which place is best for some tyres: pure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Rack:
    """A place as it stands. ``room`` is None where it is not known; ``there`` is all in it.

    ``alike``: how many of them are of the same SKU; ``same_week``: of the same SKU and week.
    """

    place: int
    code: str
    walk: int
    room: int | None
    there: int
    alike: int
    same_week: int

    @property
    def free(self) -> int | None:
        """How many more it takes; None where that is not known."""
        return None if self.room is None else max(self.room - self.there, 0)


def takes(rack: Rack, quantity: int) -> bool:
    """Whether so many more fit, as far as is known."""
    return rack.free is None or rack.free >= quantity


def best(racks: Iterable[Rack], quantity: int) -> Rack | None:
    """Where they best go: beside the same week, else the same SKU, else into an empty place.

    Among equals: where all of them fit, then the one whose room is known, then first on the way
    round. None where no place has room for a single one.
    """
    with_room = [rack for rack in racks if rack.free is None or rack.free > 0]
    return min(with_room, key=lambda rack: _rank(rack, quantity), default=None)


def why(rack: Rack) -> str:
    """Why this place, in words."""
    if rack.same_week:
        beside = f"{rack.same_week} of the same week are there"
    elif rack.alike:
        beside = f"{rack.alike} of the same SKU are there"
    else:
        beside = "it is empty" if rack.there == 0 else "the next place with room"
    room = "room not known" if rack.free is None else f"room for {rack.free} more"
    return f"{beside}, {room}"


def _rank(rack: Rack, quantity: int) -> tuple[bool, int, bool, int, str]:
    if rack.same_week:
        kind = 0
    elif rack.alike:
        kind = 1
    else:
        kind = 2 if rack.there == 0 else 3
    return not takes(rack, quantity), kind, rack.room is None, rack.walk, rack.code
