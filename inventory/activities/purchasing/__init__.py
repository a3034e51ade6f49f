"""Buying: terms and batches of suppliers, orders from draft to closed, what is expected."""

from inventory.activities.purchasing.batches import change_batch, make_batch
from inventory.activities.purchasing.drafting import change_order, draft
from inventory.activities.purchasing.ending import cancel, give_up_rest
from inventory.activities.purchasing.lines import drop_line, set_line
from inventory.activities.purchasing.sending import send
from inventory.activities.purchasing.terms import change_terms, make_terms

__all__ = [
    "cancel",
    "change_batch",
    "change_order",
    "change_terms",
    "draft",
    "drop_line",
    "give_up_rest",
    "make_batch",
    "make_terms",
    "send",
    "set_line",
]
