"""Orders of customers: taken, changed, cancelled, closed, and what is held for them."""

from inventory.activities.ordering.asks import (
    Ask,
    AskHold,
    AskPieces,
    AskQuote,
    AskSets,
    Deposit,
    Holding,
)
from inventory.activities.ordering.changing import change_line, hold_line
from inventory.activities.ordering.giving_up import cancel_line, cancel_order, close_order
from inventory.activities.ordering.heads import change_order
from inventory.activities.ordering.standing import LineStanding, standing
from inventory.activities.ordering.taking import add_lines, take_order

__all__ = [
    "Ask",
    "AskHold",
    "AskPieces",
    "AskQuote",
    "AskSets",
    "Deposit",
    "Holding",
    "LineStanding",
    "add_lines",
    "cancel_line",
    "cancel_order",
    "change_line",
    "change_order",
    "close_order",
    "hold_line",
    "standing",
    "take_order",
]
