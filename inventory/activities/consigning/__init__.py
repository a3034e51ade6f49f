"""Goods on consignment: taken from a supplier until a day, bought in piece by piece, given back.

As long as they are the consignor's nobody is promised them: they are sold after they are bought in.
"""

from inventory.activities.consigning.buying_in import Bought, buy_in
from inventory.activities.consigning.giving_back import give_back
from inventory.activities.consigning.lying import Part, agreed_of, lying, with_nothing_agreed
from inventory.activities.consigning.taking import Agreed, Consigned, agree, take

__all__ = [
    "Agreed",
    "Bought",
    "Consigned",
    "Part",
    "agree",
    "agreed_of",
    "buy_in",
    "give_back",
    "lying",
    "take",
    "with_nothing_agreed",
]
