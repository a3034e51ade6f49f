"""Goods in: a delivery opened, read off the sidewalls line by line, and booked as a whole."""

from inventory.activities.receiving.afterwards import BY_HAND, delivery_of, open_complaint
from inventory.activities.receiving.finishing import Arrival, Received, finish
from inventory.activities.receiving.lines import agreed_with, enter_line, note_says, strike_line
from inventory.activities.receiving.opening import (
    change_delivery,
    give_up,
    open_delivery,
    take_up,
)
from inventory.activities.receiving.reading import Agreed, Judged, Reading, judge
from inventory.activities.receiving.standing import Standing, standing

__all__ = [
    "BY_HAND",
    "Agreed",
    "Arrival",
    "Judged",
    "Reading",
    "Received",
    "Standing",
    "agreed_with",
    "change_delivery",
    "delivery_of",
    "enter_line",
    "finish",
    "give_up",
    "judge",
    "note_says",
    "open_complaint",
    "open_delivery",
    "standing",
    "strike_line",
    "take_up",
]
