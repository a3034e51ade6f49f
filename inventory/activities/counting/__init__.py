"""Counting what is there: begun, entered blind, handed in, counted again, posted."""

from inventory.activities.counting.beginning import begin, give_up, take_up
from inventory.activities.counting.ending import hand_in, post_count
from inventory.activities.counting.entering import enter, strike
from inventory.activities.counting.refusals import (
    AtItsEnd,
    BeingCounted,
    InOtherHands,
    NotToCountAgain,
    NotToPost,
    OutsideThisCount,
)

__all__ = [
    "AtItsEnd",
    "BeingCounted",
    "InOtherHands",
    "NotToCountAgain",
    "NotToPost",
    "OutsideThisCount",
    "begin",
    "enter",
    "give_up",
    "hand_in",
    "post_count",
    "strike",
    "take_up",
]
