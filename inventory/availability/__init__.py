"""Have you got it? Reads only: complete sets, stock figures, and the lots behind them."""

from inventory.availability.figures import lots_of, on_shelf, stock_of
from inventory.availability.pairs import promise_of_pair, sets_of_pairs
from inventory.availability.promising import mark_text
from inventory.availability.prospects import Prospect, promises, prospects, stock_and_promises
from inventory.availability.values import (
    ChosenLot,
    CompanionFact,
    Figures,
    Need,
    Price,
    SetAnswer,
    ShelfLot,
)

__all__ = [
    "ChosenLot",
    "CompanionFact",
    "Figures",
    "Need",
    "Price",
    "Prospect",
    "SetAnswer",
    "ShelfLot",
    "lots_of",
    "mark_text",
    "on_shelf",
    "promise_of_pair",
    "promises",
    "prospects",
    "sets_of_pairs",
    "stock_and_promises",
    "stock_of",
]
