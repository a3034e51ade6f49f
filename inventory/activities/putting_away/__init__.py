"""From goods in to the racks: where tyres best go, and booking that they went there."""

from inventory.activities.putting_away.moving_in import PlaceIsFull, put_away, room_for
from inventory.activities.putting_away.suggesting import (
    Suggestion,
    Waiting,
    best_places,
    suggested,
    waiting,
)

__all__ = [
    "PlaceIsFull",
    "Suggestion",
    "Waiting",
    "best_places",
    "put_away",
    "room_for",
    "suggested",
    "waiting",
]
