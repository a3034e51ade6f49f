"""A set offered at a price until the end of a day, with its answer and reasons as they stood."""

from inventory.activities.quoting.giving import give_quote
from inventory.activities.quoting.withdrawing import withdraw_quote

__all__ = ["give_quote", "withdraw_quote"]
