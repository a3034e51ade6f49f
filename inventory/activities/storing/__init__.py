"""Customers' own tyres: taken in to be kept until a day, kept longer, handed back."""

from inventory.activities.storing.handing_back import hand_back, lying
from inventory.activities.storing.keeping import keep_longer
from inventory.activities.storing.refusals import (
    DueBeforeToday,
    HandedBackAlready,
    MovedMeanwhile,
    NotAPlaceToKeep,
    NothingBrought,
    NotLater,
    NotTheirCar,
    SayWhyPutOff,
    YearsAhead,
)
from inventory.activities.storing.taking_in import Brought, take_in

__all__ = [
    "Brought",
    "DueBeforeToday",
    "HandedBackAlready",
    "MovedMeanwhile",
    "NotAPlaceToKeep",
    "NotLater",
    "NotTheirCar",
    "NothingBrought",
    "SayWhyPutOff",
    "YearsAhead",
    "hand_back",
    "keep_longer",
    "lying",
    "take_in",
]
