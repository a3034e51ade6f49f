"""Goods in: a delivery opened, read off the sidewalls line by line, and booked as a whole."""

from inventory.activities.receiving.finishing import Arrival, Received, finish
from inventory.activities.receiving.lines import enter_line, note_says, strike_line
from inventory.activities.receiving.opening import (
    change_delivery,
    give_up,
    open_delivery,
    take_up,
)
from inventory.activities.receiving.reading import Judged, Reading, judge
from inventory.activities.receiving.standing import Standing, standing

__all__ = [
    "Arrival",
    "Judged",
    "Reading",
    "Received",
    "Standing",
    "change_delivery",
    "enter_line",
    "finish",
    "give_up",
    "judge",
    "note_says",
    "open_delivery",
    "standing",
    "strike_line",
    "take_up",
]
