"""Transfers between sites: what leaves is in transit until it is booked in at the other end."""

from inventory.activities.transferring.arriving import Arrived, book_arrival, scan_arrival
from inventory.activities.transferring.ending import end_short
from inventory.activities.transferring.inhand import take_up
from inventory.activities.transferring.refusals import (
    ArrivedAlready,
    AskedAlready,
    InOtherHands,
    NotArriving,
    NotOnThisTransfer,
    NotThere,
    NotUnloadedThere,
    NotWanted,
    NowhereOnTheWay,
    SayWhereItIs,
    SeveralLots,
)
from inventory.activities.transferring.sending import Load, send_off

__all__ = [
    "Arrived",
    "ArrivedAlready",
    "AskedAlready",
    "InOtherHands",
    "Load",
    "NotArriving",
    "NotOnThisTransfer",
    "NotThere",
    "NotUnloadedThere",
    "NotWanted",
    "NowhereOnTheWay",
    "SayWhereItIs",
    "SeveralLots",
    "book_arrival",
    "end_short",
    "scan_arrival",
    "send_off",
    "take_up",
]
