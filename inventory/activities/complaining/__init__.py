"""Customers' complaints: opened about what we sent, taken to the maker, closed with the answer."""

from inventory.activities.complaining.answering import close
from inventory.activities.complaining.opening import open_complaint
from inventory.activities.complaining.origin import supplier_of
from inventory.activities.complaining.passing_on import take_to_maker
from inventory.activities.complaining.picturing import add_picture

__all__ = ["add_picture", "close", "open_complaint", "supplier_of", "take_to_maker"]
